"""Happenings as bytes: checking what every one must have, and decoding what this program knows."""

import re
from collections.abc import Callable, Collection, Iterator, Sequence
from typing import Any
from uuid import UUID

import msgspec
from msgspec import Raw, Struct

from benchbell.bench.encoding import Envelope, read_envelope, read_envelopes, read_happening
from benchbell.bench.forms import forms
from benchbell.bench.happenings import KINDS, Happening
from benchbell.findings import Refused
from benchbell.recipe.measure import MOST_VALUE, plain
from benchbell.store.record_types import Body, RandomBytes, Sent

UUID7 = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
DEVICE = re.compile(r"[0-9a-f]{16}")
LARGEST_INTEGER = 2**53 - 1
"""The greatest whole number that a page holds exactly (ECMA-262, Number.MAX_SAFE_INTEGER)."""

LARGEST_STORED = 2**63 - 1
"""The greatest whole number that a column holds. A page whose clock ran away stamps beyond what it holds exactly."""

LARGEST_COUNTER = 65535

Column = Collection[Any]
"""The values of one field in all envelopes of a batch."""


def all_match(pattern: re.Pattern[str]) -> Callable[[Column], bool]:
    """Whether every text of a column is of this pattern."""
    return lambda column: all(map(pattern.fullmatch, column))


def all_within(least: int, most: int) -> Callable[[Column], bool]:
    """Whether every whole number of a column is one of these."""
    return lambda column: not column or (least <= min(column) and max(column) <= most)


FIELDS: tuple[tuple[str, str, Callable[[Sequence[Envelope]], Column], Callable[[Column], bool]], ...] = (
    ("id", "a UUIDv7 in lower case", lambda hs: [h.id for h in hs], all_match(UUID7)),
    ("n", f"1 to {LARGEST_INTEGER}", lambda hs: [h.n for h in hs], all_within(1, LARGEST_INTEGER)),
    ("at.ms", f"0 to {LARGEST_STORED}", lambda hs: [h.at.ms for h in hs], all_within(0, LARGEST_STORED)),
    ("at.counter", f"0 to {LARGEST_COUNTER}", lambda hs: [h.at.counter for h in hs], all_within(0, LARGEST_COUNTER)),
    ("when.ms", f"0 to {LARGEST_STORED}", lambda hs: [h.when.ms for h in hs if h.when], all_within(0, LARGEST_STORED)),
    (
        "when.base",
        f"0 to {LARGEST_INTEGER}",
        lambda hs: [h.when.base for h in hs if h.when],
        all_within(0, LARGEST_INTEGER),
    ),
    ("at.device", "16 lower-case hex digits", lambda hs: {h.at.device for h in hs}, all_match(DEVICE)),
)
"""An envelope's fields: name, what is allowed, its column in a batch, whether that is allowed.

A whole column is checked at once: on a busy server one call for each value is most of what a batch costs.
"""

_happenings = msgspec.json.Decoder(list[Happening])


def with_envelopes(batch: Sequence[Body]) -> Sent:
    """Each happening with its envelope. Raises Refused when one has a field that is missing or not allowed."""
    envelopes = read_envelopes(batch)
    check_fields(envelopes)
    return list(zip(envelopes, batch, strict=True))


def check_fields(envelopes: Sequence[Envelope]) -> None:
    """Raises Refused unless all FIELDS of all envelopes are allowed."""
    for field, allowed, column_of, are_allowed in FIELDS:
        column = column_of(envelopes)
        if not are_allowed(column):
            met = next(value for value in column if not are_allowed([value]))
            raise Refused(
                f"A happening's {field} is {met!r:.60}; it must be {allowed}.", "Update the page on that device."
            )


class WhatOnly(Struct, frozen=True):
    """A happening of which only `what` is decoded."""

    what: dict[str, Any]


AMOUNTS = {
    kind: numbers
    for kind, fields in forms().items()
    if (numbers := [field for field, form in fields.items() if form.endswith("number")])
}
"""By kind that has any, the fields that hold sizes or readings."""


def check_amounts(sent: Sent) -> None:
    """Raises Refused when a size or a reading is one that no workshop has. What else may be wrong is not looked at."""
    for name, value in (amount for h, body in sent if h.what.kind in AMOUNTS for amount in amounts_in(body)):
        if abs(value) > MOST_VALUE:
            raise Refused(
                f"A happening's {name} is {value:g}; it must be {plain(-MOST_VALUE, 0)} to {plain(MOST_VALUE, 0)}.",
                "Update the page on that device.",
            )


def amounts_in(body: Body) -> Iterator[tuple[str, float]]:
    """The sizes and readings in a happening, each with its field's name; none where it cannot be read."""
    try:
        what = msgspec.json.decode(body, type=WhatOnly).what
    except msgspec.DecodeError:
        return
    for field in AMOUNTS.get(str(what.get("kind")), ()):
        content = what.get(field)
        values = content.values() if isinstance(content, dict) else [content]
        yield from ((field, value) for value in values if isinstance(value, int | float))


def unreadable_among(entries: Sent) -> list[Envelope]:
    """Those of a known kind that are not of its form, so that nothing counts them."""
    try:
        _happenings.decode(b"[%s]" % b",".join(bytes(body) for _, body in entries))  # faster by far than one by one
    except msgspec.DecodeError:
        return [h for h, body in entries if h.what.kind in KINDS and readable(body).what is None]
    return []


def claimed_ms(h: Envelope | Happening) -> int:
    """The later of the times that it claims, by its stamp and by when it was recorded; in ms."""
    return h.at.ms if h.when is None or h.when.ms < h.at.ms else h.when.ms


def all_readable(listed: Raw) -> list[Happening]:
    """The happenings of a JSON list, each as `readable` gives it."""
    try:
        return _happenings.decode(listed)  # faster by far than one by one
    except msgspec.DecodeError:
        return [readable(body) for body in msgspec.json.decode(listed, type=list[Raw])]


def readable(body: Body) -> Happening:
    """The happening; its `what` is None when the kind is unknown, or its fields are not those of the kind."""
    try:
        return read_happening(body)
    except Refused:
        h = read_envelope(body)
        return Happening(h.id, h.n, h.at, h.build, h.about, None, h.when)


def new_id(now_ms: int, random_bytes: RandomBytes) -> str:
    """A UUIDv7: 48 bits of time in ms, 0 before 1970, and 74 random bits (RFC 9562, section 5.7)."""
    random_bits = int.from_bytes(random_bytes(10))
    number = (
        max(now_ms, 0) << 80 | 0x7 << 76 | (random_bits >> 62 & 0xFFF) << 64 | 0b10 << 62 | random_bits & (1 << 62) - 1
    )
    return str(UUID(int=number))

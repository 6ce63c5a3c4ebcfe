"""Happenings as bytes: checking what every one must have, and decoding what this program knows."""

import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from operator import attrgetter
from typing import Any
from uuid import UUID

import msgspec
from msgspec import Raw, Struct

from benchbell.bench.encoding import Envelope, read_envelope, read_happening
from benchbell.bench.forms import forms
from benchbell.bench.happenings import KINDS, Happening
from benchbell.bench.server_clock import when_of
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

FIELDS: tuple[tuple[str, str, Callable[[Envelope], Any], Callable[[Any], object]], ...] = (
    ("id", "a UUIDv7 in lower case", attrgetter("id"), UUID7.fullmatch),
    ("n", f"1 to {LARGEST_INTEGER}", attrgetter("n"), range(1, LARGEST_INTEGER + 1).__contains__),
    ("at.ms", f"0 to {LARGEST_STORED}", attrgetter("at.ms"), range(LARGEST_STORED + 1).__contains__),
    ("at.counter", f"0 to {LARGEST_COUNTER}", attrgetter("at.counter"), range(LARGEST_COUNTER + 1).__contains__),
    ("when.ms", f"0 to {LARGEST_STORED}", lambda h: when_of(h).ms, range(LARGEST_STORED + 1).__contains__),
    ("when.base", f"0 to {LARGEST_INTEGER}", lambda h: when_of(h).base, range(LARGEST_INTEGER + 1).__contains__),
    ("at.device", "16 lower-case hex digits", attrgetter("at.device"), DEVICE.fullmatch),
)
"""An envelope's fields: name, what is allowed, how to get it, whether it is allowed."""

_happening = msgspec.json.Decoder(Happening)
_happenings = msgspec.json.Decoder(list[Happening])


def with_envelopes(batch: Sequence[Body]) -> Sent:
    """Each happening with its envelope. Raises Refused when one has a field that is missing or not allowed."""
    envelopes = [read_envelope(body) for body in batch]
    check_fields(envelopes)
    return list(zip(envelopes, batch, strict=True))


def check_fields(envelopes: Sequence[Envelope]) -> None:
    """Raises Refused unless all FIELDS of all envelopes are allowed. Equal values are checked once."""
    for field, allowed, value_of, is_allowed in FIELDS:
        if not all(map(is_allowed, set(map(value_of, envelopes)))):
            met = next(value_of(h) for h in envelopes if not is_allowed(value_of(h)))
            raise Refused(
                f"A happening's {field} is {met!r:.60}; it must be {allowed}.", "Update the page on that device."
            )


class WhatOnly(Struct, frozen=True):
    """A happening of which only `what` is decoded."""

    what: dict[str, Any]


AMOUNTS = {
    kind: [field for field, form in fields.items() if form.endswith("number")] for kind, fields in forms().items()
}
"""By kind, the fields that hold sizes or readings."""


def check_amounts(batch: Sequence[Body]) -> None:
    """Raises Refused when a size or a reading is one that no workshop has. What else may be wrong is not looked at."""
    for body in batch:
        try:
            _happening.decode(body)  # faster by far than to look at each number
        except msgspec.DecodeError:
            for name, value in amounts_in(body):
                if abs(value) > MOST_VALUE:
                    raise Refused(
                        f"A happening's {name} is {value:g}; it must be {plain(-MOST_VALUE, 0)} to "
                        f"{plain(MOST_VALUE, 0)}.",
                        "Update the page on that device.",
                    ) from None


def amounts_in(body: Body) -> Iterator[tuple[str, float]]:
    """The sizes and readings in a happening, each with its field's name; none where it cannot be read."""
    try:
        what = msgspec.json.decode(body, type=WhatOnly).what
    except msgspec.DecodeError:
        return
    for field in AMOUNTS.get(str(what.get("kind")), ()):
        told = what.get(field)
        values = told.values() if isinstance(told, dict) else [told]
        yield from ((field, value) for value in values if isinstance(value, int | float))


def unreadable_in(listed: Raw) -> Counter[str]:
    """By build, how many happenings of a JSON list are of a known kind, but not of its form."""
    try:
        _happenings.decode(listed)
    except msgspec.DecodeError:
        return Counter(h.build for h in map(unreadable, msgspec.json.decode(listed, type=list[Raw])) if h is not None)
    return Counter()


def unreadable(body: Body) -> Envelope | None:
    """The envelope of a happening of a known kind that is not of its form; None for any other."""
    h = read_envelope(body)
    return h if h.what.kind in KINDS and readable(body).what is None else None


def claimed_ms(h: Envelope | Happening) -> int:
    """The later of the times that it claims, by its stamp and by when it was recorded; in ms."""
    return max(h.at.ms, when_of(h).ms)


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

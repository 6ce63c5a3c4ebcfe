"""Happenings as they travel and are stored: bytes to the letter, read only as far as is needed."""

from collections.abc import Sequence

import msgspec
from msgspec import Struct

from benchbell.bench.happenings import KINDS, Happening, Stamp, When
from benchbell.findings import Refused


class Kind(Struct, frozen=True, gc=False):
    """The name of what happened."""

    kind: str


class Envelope(Struct, frozen=True, gc=False):
    """A happening without a look at what it says, beyond its kind."""

    id: str
    n: int
    at: Stamp
    build: str
    about: tuple[str, ...]
    what: Kind
    when: When | None = None


_envelope = msgspec.json.Decoder(Envelope)
_happening = msgspec.json.Decoder(Happening)


def read_envelope(body: bytes | msgspec.Raw) -> Envelope:
    """Everything but what it says. Raises Refused when that much cannot be read."""
    try:
        return _envelope.decode(body)
    except msgspec.DecodeError as error:
        raise Refused(f"A happening cannot be read: {error}.", "Update the page on that device.") from error


def read_envelopes(batch: Sequence[bytes | msgspec.Raw]) -> list[Envelope]:
    """`read_envelope` of each, without a call of ours for each. Raises Refused when one cannot be read."""
    try:
        return [*map(_envelope.decode, batch)]
    except msgspec.DecodeError:
        return [read_envelope(body) for body in batch]


def read_happening(body: bytes | msgspec.Raw) -> Happening:
    """The happening; `what` is None when its kind is from a newer page.

    Raises Refused for a known kind that is not of its form.
    """
    try:
        return _happening.decode(body)
    except msgspec.DecodeError as error:
        envelope = read_envelope(body)
        if envelope.what.kind not in KINDS:
            return Happening(envelope.id, envelope.n, envelope.at, envelope.build, envelope.about, None, envelope.when)
        raise Refused(
            f"Happening {envelope.id} ({envelope.what.kind}) cannot be read: {error}.",
            "Update the page on that device.",
        ) from error

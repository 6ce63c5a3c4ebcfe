"""When something happened, whatever the server's clock was set to meanwhile.

Each time a person or the network sets the server's clock, a new base begins: a number that every entry carries beside
its time (`When`). The server records by how much it was set (`ClockSet`). So a time read on an earlier setting is
moved to the clock as it is now, and what lies between two moments is what really passed.
Twin: pwa/src/bench/server_clock.ts.
"""

from collections.abc import Iterable, Sequence
from typing import Literal

from msgspec import Struct

from benchbell.bench.encoding import Envelope
from benchbell.bench.happenings import SERVER, ClockSet, Happening, When

NONE_OF_THEM = 2**53
"""Greater than any base."""

ServerClock = Literal["steady", "set", "unsure"]
"""What became of the server's clock while something ran: nothing; set, and known by how much; or not known."""

SET_TEXTS: dict[str, str] = {
    "set": "The server's clock was set while this ran; its time is counted without it.",
    "unsure": "The server was off or its clock was set while this ran, and for how long is not known: "
    "this may be later than shown. Look at another clock.",
}
"""By what became of the server's clock, the sentence beside a clock."""


class Setting(Struct, frozen=True):
    """One setting of the server's clock. ms: when it was set, by the clock as it was set then. recorded: the entry."""

    what: ClockSet
    ms: int
    recorded: Happening


Settings = Sequence[Setting]
"""Earliest first: each base once."""


class Moment(Struct, frozen=True):
    """When something happened, in ms of the server's clock as it is now.

    clock: what became of the server's clock since. unsure_ms: the moment from which on more time may have passed than
    the clock counted, so that `ms` is the latest it can have been; None where it is exact.
    """

    ms: int
    clock: ServerClock = "steady"
    unsure_ms: int | None = None


def settings_of(happenings: Iterable[Happening]) -> tuple[Setting, ...]:
    """The settings of the clock among these happenings; of two with one base the later stamp counts.

    Only the server's own: nobody else reads its clock.
    """
    ordered = sorted((h for h in happenings if h.at.device == SERVER), key=lambda h: (h.at, h.id))
    by_base = {h.what.base: Setting(h.what, when_of(h).ms, h) for h in ordered if isinstance(h.what, ClockSet)}
    return tuple(by_base[base] for base in sorted(by_base))


def when_of(h: Happening | Envelope) -> When:
    """When it was recorded, by the clock as it was set then; of an entry from before bases were kept, its stamp."""
    return When(h.at.ms) if h.when is None else h.when


def moment_of(when: When, settings: Settings) -> Moment:
    """The moment by the clock as it is now.

    A setting moves times of its own boot by what it was set by. For times of earlier boots it says either that they
    stand as they were written, and then the settings of its boot do not concern them; or the most that they can be
    moved by, since nobody knows how long the machine was off.
    """
    ms, void_from, unsure = when.ms, NONE_OF_THEM, list[int]()
    clock: ServerClock = "steady"
    for one in reversed(settings):
        what = one.what
        if what.base <= when.base:
            break
        clock = "set"
        if what.base > void_from:
            continue
        if when.base >= what.since:
            ms += what.by_ms
        elif what.earlier_ms is None:
            void_from = what.since
        else:
            ms += what.earlier_ms
            unsure.append(moment_of(When(one.ms, what.base), settings).ms)
    return Moment(ms, "unsure", min(unsure)) if unsure else Moment(ms, clock)

"""One build's happenings, ordered by what they settle.

Each happening settles one slot: "clamped|A/frame" or "measured|A|rail". In a slot the latest counts, unless it
was undone. So the answer is the same in whatever order, and however often, happenings arrive, and one more
happening touches one slot only; what is worked out from the others can be remembered.
Twin: pwa/src/bench/book.ts.
"""

from collections.abc import Callable, Iterable
from operator import attrgetter
from typing import Any, TypeVar, get_args

from benchbell.bench.happening_kinds import HAPPENING_KINDS
from benchbell.bench.happenings import ClockSet, Happening, Stamp, Started, Undone, What
from benchbell.bench.server_clock import Moment, Setting, moment_of, settings_of, when_of

Answer = TypeVar("Answer")

Words = Callable[[Any], str]
"""Writes what one of a kind says."""


def slot_words(tag: str) -> Words:
    """The slot that one of this kind settles."""
    return "|".join([tag, *(f"{{0.{field}}}" for field in HAPPENING_KINDS[tag].slot)]).format


def subject_words(tag: str) -> Words:
    """What changes with one of this kind: its operation where it is about one, else whatever hangs on the kind."""
    return ("{0.operation}" if HAPPENING_KINDS[tag].slot[:1] == ("operation",) else tag).format


TAGS: dict[type, str] = {kind: kind.__struct_config__.tag for kind in get_args(What)}
SLOTS = {kind: slot_words(tag) for kind, tag in TAGS.items()}
SUBJECTS = {kind: subject_words(tag) for kind, tag in TAGS.items()}

CLOCK = "server-clock"
"""What changes with each setting of the server's clock, beside all operations and kinds."""

order: Callable[[Happening], tuple[Stamp, str]] = attrgetter("at", "id")
"""Where a happening stands among others; the id decides where two stamps are the same."""


def slot_of(h: Happening) -> str | None:
    """The slot this happening settles; None for a kind not known here."""
    return None if h.what is None else SLOTS[type(h.what)](h.what)


def undoes(undoing: Happening, h: Happening) -> bool:
    """Whether an undoing that counts undoes `h`, which it names."""
    return undoing.at > h.at or not isinstance(h.what, Undone)


class Book:
    """What is known of one build. Grows by `add`; nothing is ever taken out."""

    def __init__(self, happenings: Iterable[Happening] = ()) -> None:
        """A book of these happenings, in whatever order they come."""
        self.by_id: dict[str, Happening] = {}
        self.by_slot: dict[str, list[Happening]] = {}
        self.to_sort: set[str] = set()
        self.undoings: dict[str, list[Happening]] = {}
        self.undone: set[str] = set()
        self.unknown = 0
        self.changes: dict[str, int] = {}
        self.remembered: dict[str, tuple[int, Any]] = {}
        self.clock_settings: tuple[Setting, ...] = ()
        for h in happenings:
            self.add(h)

    def add(self, h: Happening) -> bool:
        """Take one happening in; False when it was known already."""
        if h.id in self.by_id:
            return False
        self.by_id[h.id] = h
        slot = slot_of(h)
        if slot is None:
            self.unknown += 1
        else:
            self.put(slot, h)
        if isinstance(h.what, ClockSet):
            self.know_settings(settings_of(self.by_kind("clock-set")))
        if isinstance(h.what, Undone):
            self.undoings.setdefault(h.what.happening, []).append(h)
        self.settle(h)
        return True

    def by_kind(self, kind: str) -> list[Happening]:
        """All of one kind, in no order, whether they count or not."""
        return [h for slot, known in self.by_slot.items() if slot.partition("|")[0] == kind for h in known]

    def know_settings(self, settings: tuple[Setting, ...]) -> None:
        """Take over how the server's clock was set, which is recorded in the shop's book."""
        if settings != self.clock_settings:
            self.clock_settings = settings
            self.changes[CLOCK] = self.changes.get(CLOCK, 0) + 1

    def moment(self, h: Happening) -> Moment:
        """When it happened, by the server's clock as it is now."""
        return moment_of(when_of(h), self.clock_settings)

    def put(self, slot: str, h: Happening) -> None:
        """Into its slot. Most come in their order; what does not is put in its place when somebody looks."""
        known = self.by_slot.setdefault(slot, [])
        if known and h.at <= known[-1].at:
            self.to_sort.add(slot)
        known.append(h)

    def in_slot(self, *names: str) -> list[Happening]:
        """What settles a slot, earliest first, whether it counts or not."""
        slot = "|".join(names)
        if slot in self.to_sort:
            self.by_slot[slot].sort(key=order)
            self.to_sort.remove(slot)
        return self.by_slot.get(slot, [])

    def settle(self, new: Happening) -> None:
        """Tell whether a new one counts; then whether what it undoes does, and so on while that turns."""
        if self.is_struck(new):
            self.undone.add(new.id)
        self.mark_changed(new)
        h = self.target(new)
        while h is not None and self.is_struck(h) != (h.id in self.undone):
            self.undone ^= {h.id}
            self.mark_changed(h)
            h = self.target(h)

    def is_struck(self, h: Happening) -> bool:
        """Whether an undoing that counts meets it.

        An undoing of an undoing counts only if it stands after it: no two can undo each other. Any other happening can
        be undone by one that stands before it, since a wrong clock may have stamped it far ahead.
        """
        undoings = self.undoings.get(h.id)
        return undoings is not None and any(u.id not in self.undone and undoes(u, h) for u in undoings)

    def target(self, h: Happening) -> Happening | None:
        """What an undoing undoes, where that is known here."""
        return self.by_id.get(h.what.happening) if isinstance(h.what, Undone) else None

    def mark_changed(self, h: Happening) -> None:
        """Whatever was worked out from its subject is out of date."""
        if h.what is not None:
            subject = SUBJECTS[type(h.what)](h.what)
            self.changes[subject] = self.changes.get(subject, 0) + 1

    def changes_of(self, *subjects: str) -> int:
        """How often any of these changed: an operation, or a kind that is about none."""
        return sum(self.changes.get(subject, 0) for subject in subjects)

    def remember(self, name: str, changes: int, work: Callable[[], Answer]) -> Answer:
        """The answer of `work`, worked out again only after more changes."""
        known = self.remembered.get(name)
        if known is None or known[0] != changes:
            known = self.remembered[name] = (changes, work())
        answer: Answer = known[1]
        return answer

    def counts(self, h: Happening) -> bool:
        """Whether it is not undone."""
        return h.id not in self.undone

    def all(self, *slot: str) -> list[Happening]:
        """What counts in a slot, earliest first."""
        return [h for h in self.in_slot(*slot) if self.counts(h)]

    def latest(self, *slot: str) -> Happening | None:
        """The happening that settles the slot, if any."""
        return next((h for h in reversed(self.in_slot(*slot)) if self.counts(h)), None)

    def started(self) -> Started | None:
        """The build's beginning, with its sheet; None until it has arrived."""
        h = self.latest("started")
        return h.what if h is not None and isinstance(h.what, Started) else None

    def effective(self) -> list[Happening]:
        """Every happening that counts, earliest first."""
        return sorted((h for h in self.by_id.values() if self.counts(h)), key=order)

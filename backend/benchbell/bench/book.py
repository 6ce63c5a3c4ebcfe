"""One build's happenings, ordered by what they settle.

Each happening settles one slot: "clamped|A/frame" or "measured|A|rail". In a slot the latest counts, unless it
was undone. So the answer is the same in whatever order, and however often, happenings arrive, and one more
happening touches one slot only.
"""

from bisect import insort

from benchbell.bench.happenings import Happening, Stamp, Started, Undone

IDENTIFY: dict[str, tuple[str, ...]] = {
    "started": (),
    "closed": (),
    "began": ("operation",),
    "ticked": ("operation", "part"),
    "finished": ("operation",),
    "set-up": ("station",),
    "setup-broken": ("station",),
    "mixed": ("operation",),
    "glue-on": ("operation",),
    "clamped": ("operation",),
    "pared": ("operation",),
    "clamps-off": ("operation",),
    "coat-on": ("operation",),
    "wiped-off": ("operation",),
    "rags-safe": ("operation",),
    "lengthened": ("operation", "clock"),
    "acknowledged": ("operation",),
    "measured": ("piece", "size"),
    "checked": ("operation", "check"),
    "noted": (),
    "photo": (),
    "spoiled": ("part",),
    "remade": ("part",),
    "conditions": (),
    "kept": ("setting",),
    "undone": ("happening",),
}
"""Which fields of a kind name what it settles. A kind that is not here settles nothing yet."""


def order(h: Happening) -> tuple[Stamp, str]:
    """Where a happening stands among others; the id decides where two stamps are the same."""
    return h.at, h.id


def slot_of(h: Happening) -> str | None:
    """The slot this happening settles; None for a kind not known here."""
    if h.what is None:
        return None
    kind = str(h.what.__struct_config__.tag)
    return "|".join([kind, *(str(getattr(h.what, field)) for field in IDENTIFY[kind])])


class Book:
    """What is known of one build. Grows by `add`; nothing is ever taken out."""

    def __init__(self) -> None:
        """An empty book."""
        self.by_id: dict[str, Happening] = {}
        self.by_slot: dict[str, list[Happening]] = {}
        self.undoings: dict[str, list[Happening]] = {}
        self.unknown = 0

    def add(self, h: Happening) -> bool:
        """Take one happening in; False when it was known already."""
        if h.id in self.by_id:
            return False
        self.by_id[h.id] = h
        slot = slot_of(h)
        if slot is None:
            self.unknown += 1
        else:
            insort(self.by_slot.setdefault(slot, []), h, key=order)
        if isinstance(h.what, Undone):
            self.undoings.setdefault(h.what.happening, []).append(h)
        return True

    def counts(self, h: Happening) -> bool:
        """Not undone. An undoing that stands before what it undoes is void, so no two can undo each other."""
        return not any(u.at > h.at and self.counts(u) for u in self.undoings.get(h.id, ()))

    def all(self, *slot: str) -> list[Happening]:
        """What counts in a slot, earliest first."""
        return [h for h in self.by_slot.get("|".join(slot), ()) if self.counts(h)]

    def latest(self, *slot: str) -> Happening | None:
        """The happening that settles the slot, if any."""
        known = self.by_slot.get("|".join(slot), ())
        return next((h for h in reversed(known) if self.counts(h)), None)

    def started(self) -> Started | None:
        """The build's beginning, with its sheet; None until it has arrived."""
        h = self.latest("started")
        return h.what if h is not None and isinstance(h.what, Started) else None

    def told(self) -> list[Happening]:
        """Every happening that counts, earliest first."""
        return sorted((h for h in self.by_id.values() if self.counts(h)), key=order)

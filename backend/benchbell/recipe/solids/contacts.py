"""Which parts of a piece touch, and which share room, as a tenon does with what it enters."""

from collections.abc import Sequence

from msgspec import Struct

from benchbell.recipe.solids.layout import LaidPart
from benchbell.recipe.solids.solid import Solid, shared, thickness, touching
from benchbell.recipe.solids.vectors import Vec, bounds, vec

TOUCH_MM = 0.3
"""Faces no further apart than this touch: less than a glue line bridges, more than sums of sizes are off."""

JOINT_MM = 0.7
"""Two parts share room when it is thicker than this: what is thinner comes of curves drawn as straight pieces."""


class Room(Struct, frozen=True):
    """What a solid of one part shares with a solid of another."""

    one: Solid
    other: Solid
    common: Solid


class Contact(Struct, frozen=True):
    """Two parts that touch, by their numbers. rooms: what they share, one for each pair of their solids.

    low, high: bounds of where they touch, or of what they share.
    """

    a: int
    b: int
    rooms: tuple[Room, ...]
    low: Vec
    high: Vec

    def other(self, number: int) -> int:
        """The number of the part that one of the two touches. number: of that one."""
        return self.a + self.b - number

    @property
    def joint(self) -> tuple[Solid, ...]:
        """The room they share, a solid for each pair of theirs."""
        return tuple(room.common for room in self.rooms)


def contacts(parts: Sequence[LaidPart]) -> list[Contact]:
    """All pairs of parts that touch or share room."""
    found = (contact(a, b, parts) for a, b in near_pairs(parts))
    return [one for one in found if one is not None]


def near_pairs(parts: Sequence[LaidPart]) -> list[tuple[int, int]]:
    """The numbers of all two parts whose bounds touch, the lower first, by the higher one: swept from left to right."""
    pairs: list[tuple[int, int]] = []
    open_now: list[int] = []
    for n in sorted(range(len(parts)), key=lambda n: parts[n].low[0]):
        part = parts[n]
        open_now = [m for m in open_now if parts[m].high[0] >= part.low[0] - TOUCH_MM]
        pairs += [(min(m, n), max(m, n)) for m in open_now if near(parts[m], part)]
        open_now.append(n)
    return sorted(pairs, key=lambda pair: pair[::-1])


def near(a: LaidPart | Solid, b: LaidPart | Solid) -> bool:
    """Whether the bounds of two things touch."""
    return overlap(a, b) >= -TOUCH_MM


def overlap(a: LaidPart | Solid, b: LaidPart | Solid) -> float:
    """On the axis on which the bounds of two things share least, how much that is; below 0 how far they are apart."""
    (a1, a2, a3), (a4, a5, a6), (b1, b2, b3), (b4, b5, b6) = a.low, a.high, b.low, b.high
    return min(a4 - b1, b4 - a1, a5 - b2, b5 - a2, a6 - b3, b6 - a3)


def contact(a: int, b: int, parts: Sequence[LaidPart]) -> Contact | None:
    """How two parts touch; None when they do not."""
    pairs = [(s, t) for s in parts[a].solids for t in parts[b].solids if near(s, t)]
    rooms = tuple(Room(s, t, common) for s, t in pairs if (common := room(s, t)))
    where = [one.common for one in rooms] or [one for s, t in pairs if (one := touching(s, t, TOUCH_MM))]
    if not where:
        return None
    low, high = bounds(point for solid in where for point in (solid.low, solid.high))
    low = vec([*map(max, low, parts[a].low, parts[b].low)])
    high = vec([*map(max, low, map(min, high, parts[a].high, parts[b].high))])
    return Contact(a, b, rooms, low, high)


def room(a: Solid, b: Solid) -> Solid | None:
    """What two solids share, if it is thick enough for a joint."""
    if overlap(a, b) <= JOINT_MM:
        return None
    found = shared(a, b, JOINT_MM)
    return found if found and thickness(found) > JOINT_MM else None

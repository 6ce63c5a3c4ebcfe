"""Which parts of a piece touch, and which share room, as a tenon does with what it enters."""

from collections.abc import Sequence

from msgspec import Struct

from benchbell.recipe.solids.layout import LaidPart
from benchbell.recipe.solids.solid import Solid, shared, thickness
from benchbell.recipe.solids.vectors import Vec, bounds, vec

TOUCH_MM = 0.3
"""Faces no further apart than this touch: less than a glue line bridges, more than sums of sizes are off."""

JOINT_MM = 0.7
"""Two parts share room when it is thicker than this: what is thinner comes of curves drawn as straight pieces."""


class Contact(Struct, frozen=True):
    """Two parts that touch, by their numbers. joint: the room they share, a solid for each pair of theirs.

    low, high: bounds of where they touch, or of the joint.
    """

    a: int
    b: int
    joint: tuple[Solid, ...]
    low: Vec
    high: Vec


def contacts(parts: Sequence[LaidPart]) -> list[Contact]:
    """All pairs of parts that touch or share room."""
    found = (contact(a, b, parts) for b in range(len(parts)) for a in range(b) if near(parts[a], parts[b]))
    return [one for one in found if one is not None]


def near(a: LaidPart | Solid, b: LaidPart | Solid) -> bool:
    """Whether the bounds of two things touch."""
    return all(a.low[n] <= b.high[n] + TOUCH_MM and b.low[n] <= a.high[n] + TOUCH_MM for n in range(3))


def contact(a: int, b: int, parts: Sequence[LaidPart]) -> Contact | None:
    """How two parts touch; None when they do not."""
    pairs = [(s, t) for s in parts[a].solids for t in parts[b].solids if near(s, t)]
    joint = tuple(one for s, t in pairs if (one := room(s, t)))
    where = joint or tuple(one for s, t in pairs if (one := touching(s, t)))
    if not where:
        return None
    low, high = bounds(point for solid in where for point in (solid.low, solid.high))
    both = [parts[n] for n in (a, b)]
    low = vec([max(low[n], *(part.low[n] for part in both)) for n in range(3)])
    high = vec([max(low[n], min(high[n], *(part.high[n] for part in both))) for n in range(3)])
    return Contact(a, b, joint, low, high)


def room(a: Solid, b: Solid) -> Solid | None:
    """What two solids share, if it is thick enough for a joint."""
    found = shared(a, b)
    return found if found and thickness(found) > JOINT_MM else None


def touching(a: Solid, b: Solid) -> Solid | None:
    """A thin solid where two touch; None when they are further apart."""
    return shared(a, b, TOUCH_MM) or shared(b, a, TOUCH_MM)

"""What the places of parts and their contacts say: run through each other, weakened, in pieces, not standing."""

from collections.abc import Collection, Iterable, Sequence
from math import prod

from msgspec import Struct

from benchbell.recipe.solids.contacts import Contact
from benchbell.recipe.solids.layout import LaidPart
from benchbell.recipe.solids.solid import Solid, extent, volume
from benchbell.recipe.solids.vectors import Vec, cross, dot, scaled
from benchbell.recipe.solids.way_out import has_way_out, hull, turn

KEEPS = 0.4
"""The least share of its section that a part keeps at a joint away from its ends. Common practice, no source."""

END_MM = 2.0
"""What is no further from a part's end than this is at its end."""

WHOLE = 0.75
"""What fills more of a corner than this fills all of it but for rabbets; what is mitred fills half."""

SQUARE = 1e-6
"""Two directions are square to each other when their product is no more than this."""

FLOOR_MM = 0.5
"""Feet stand on the floor when they are no further from it than this."""


class Taken(Struct, frozen=True):
    """What joints take from a part where they take most. share: of its section. by: the part that takes most there."""

    part: int
    by: int
    share: float


class Joint(Struct, frozen=True):
    """What a joint takes from a part. low, high: where along it, in mm. share: of its section. by: the other part."""

    low: float
    high: float
    share: float
    by: int


class Standing(Struct, frozen=True):
    """How a piece stands. lowest: of all parts, mm. x, y: its centre of weight; tips: that lies beside its feet."""

    lowest: float
    x: float
    y: float
    tips: bool


def run_through(parts: Sequence[LaidPart], found: Iterable[Contact]) -> list[Contact]:
    """The contacts of parts that share room and cannot be drawn apart."""
    return [one for one in found if one.joint and not has_way_out(one, parts)]


def weakened(parts: Sequence[LaidPart], found: Iterable[Contact]) -> list[Taken]:
    """The parts that keep too little of their section, each once. Joints that meet in a section add up.

    Where two parts cross, both away from their ends, each gives half.
    """
    joints: list[list[Joint]] = [[] for _ in parts]
    for one in found:
        if not one.joint:
            continue
        inside = [n for n in (one.a, one.b) if is_inside(parts[n], one)]
        for n in inside:
            joints[n] += [joint_in(parts[n], solid, one.other(n), len(inside)) for solid in one.joint]
    return [most for n, of_part in enumerate(joints) if of_part and (most := most_taken(n, of_part)).share > 1 - KEEPS]


def joint_in(part: LaidPart, solid: Solid, by: int, givers: int) -> Joint:
    """What one solid of a joint takes from a part. givers: how many parts give room to it."""
    low, high = extent(solid.corners, along(part))
    square = abs(dot(cross(part.wide, part.thick), part.grain))
    whole = (high - low) * part.section[0] * part.section[1] * part.kept * square
    return Joint(low, high, volume(solid) / whole / givers, by)


def most_taken(part: int, joints: Sequence[Joint]) -> Taken:
    """The section of a part at which its joints take the most; of several equal ones the first."""
    middles = ((one.low + one.high) / 2 for one in joints)
    sums = [sum(other.share for other in joints if other.low <= at <= other.high) for at in middles]
    most = max(range(len(sums)), key=lambda n: (round(sums[n], 6), round(joints[n].share, 6)))
    return Taken(part, joints[most].by, min(sums[most], 1.0))


def is_inside(part: LaidPart, contact: Contact) -> bool:
    """Whether a joint is away from both ends of a part."""
    low, high = extent((point for solid in part.solids for point in solid.corners), along(part))
    first, last = extent((point for solid in contact.joint for point in solid.corners), along(part))
    return first > low + END_MM and last < high - END_MM


def shared_ends(parts: Sequence[LaidPart], contact: Contact) -> bool:
    """Whether two parts at right angles share the whole section of both where they end, but for rabbets."""
    a, b = parts[contact.a], parts[contact.b]
    if abs(dot(a.grain, b.grain)) > SQUARE or is_inside(a, contact) or is_inside(b, contact):
        return False
    whole = all(
        part.low[n] > contact.low[n] - END_MM and part.high[n] < contact.high[n] + END_MM
        for part in (a, b)
        for n in range(3)
        if abs(part.grain[n]) < SQUARE
    )
    room = prod(high - low for low, high in zip(contact.low, contact.high, strict=True))
    return whole and sum(map(volume, contact.joint)) > WHOLE * room


def along(part: LaidPart) -> Vec:
    """What a point is multiplied with to get how far along a part it lies, whatever its distance from the middle."""
    area = cross(part.wide, part.thick)
    return scaled(area, 1 / dot(area, part.grain))


def groups(members: Sequence[Collection[int]], found: Iterable[Contact]) -> list[list[int]]:
    """The numbers of those members that hang together by contacts of their parts, a list for each group."""
    member_of = {part: number for number, of_member in enumerate(members) for part in of_member}
    group = list(range(len(members)))
    for one in found:
        a, b = member_of.get(one.a), member_of.get(one.b)
        if a is not None and b is not None and group[a] != group[b]:
            old, new = group[b], group[a]
            group = [new if own == old else own for own in group]
    return [[n for n, own in enumerate(group) if own == one] for one in dict.fromkeys(group)]


def standing(parts: Sequence[LaidPart]) -> Standing:
    """How a piece stands: its lowest point, its centre of weight, and whether that lies beside its feet."""
    solids = [solid for part in parts for solid in part.solids]
    lowest = min(solid.low[2] for solid in solids)
    weights = [volume(solid) for solid in solids]
    middles = [[(solid.low[n] + solid.high[n]) / 2 for n in range(2)] for solid in solids]
    x, y = (
        sum(weight * middle[n] for weight, middle in zip(weights, middles, strict=True)) / sum(weights)
        for n in range(2)
    )
    feet = hull([point[:2] for solid in solids for point in solid.corners if abs(point[2] - lowest) < FLOOR_MM])
    edges = zip(feet, (*feet[1:], feet[0]), strict=True)
    tips = len(feet) < 3 or any(turn(p, q, (x, y)) < 0 for p, q in edges)
    return Standing(lowest, x, y, tips)

"""Whether two parts that share room can be drawn apart, as a joint is put together.

A tenon leaves its mortise in the direction in which nothing of the other part lies ahead of what the tenon fills.
"""

from collections.abc import Iterable, Iterator, Sequence

from benchbell.recipe.solids.contacts import Contact, Room
from benchbell.recipe.solids.layout import LaidPart
from benchbell.recipe.solids.solid import Solid, behind, extent, reach
from benchbell.recipe.solids.vectors import UNITS, Vec, across, dot, length, scaled, unit

LOOSE_MM = 0.7
"""What stands so little in the way does not hold a joint together."""

EVEN = 1e-9


def has_way_out(contact: Contact, parts: Sequence[LaidPart]) -> bool:
    """Whether one of the two parts leaves the other along an axis of the piece, or along the grain of either."""
    a, b = parts[contact.a], parts[contact.b]
    return any(leaves(a, b, way, contact.rooms) for way in ways(a, b, contact))


def directions_out(contact: Contact, parts: Sequence[LaidPart], mover: int, among: Iterable[Vec]) -> list[Vec]:
    """Those of some directions in which one part of a contact leaves the other. mover: its number."""
    a, b = parts[contact.a], parts[contact.b]
    side = 1 if mover == contact.a else -1
    return [way for way in among if leaves(a, b, scaled(way, side), contact.rooms)]


def ways(a: LaidPart, b: LaidPart, contact: Contact) -> Iterator[Vec]:
    """The directions to try, the likely ones first: a tenon's grain, or the way in which the joint is shallow."""
    grain_a, grain_b = unit(a.grain), unit(b.grain)
    grains = (grain_b, grain_a) if any(room.other.tenon for room in contact.rooms) else (grain_a, grain_b)
    axes = sorted(UNITS, key=lambda axis: dot(axis, contact.high) - dot(axis, contact.low))
    has_tenon = any(room.one.tenon or room.other.tenon for room in contact.rooms)
    for way in dict.fromkeys((*grains, *axes) if has_tenon else (*axes, *grains)):
        yield way
        yield scaled(way, -1)


def leaves(a: LaidPart, b: LaidPart, way: Vec, rooms: Sequence[Room]) -> bool:
    """Whether a can be drawn out of b in a direction, and does not reach through b to the other side.

    Only a tenon may reach through. rooms: what they share.
    """
    sides = across(way)
    if any(stands_ahead(one, b.solids, way, sides) for one in a.solids):
        return False
    return not any(reaches_through(room, way) for room in rooms)


def stands_ahead(one: Solid, others: Sequence[Solid], way: Vec, sides: Sequence[Vec]) -> bool:
    """Whether one of several solids has wood in the way of `one`, beyond what `one` fills. sides: square to the way."""
    limits: list[tuple[Vec, float]] = []
    for other in others:
        fronts = faces_before(one, other, way) if is_in_line(one, other, way, sides) else ()
        if not fronts:
            continue
        if one.is_box and other.is_box and is_axis(way):
            return True
        limits = limits or sweep(one, way)
        if any(behind(other, (front, *limits)) for front in fronts):
            return True
    return False


def faces_before(one: Solid, other: Solid, way: Vec) -> list[tuple[Vec, float]]:
    """The planes of those faces of `one` that go ahead and have some of `other` before them, turned round."""
    return [
        (scaled(face.normal, -1), -face.offset - LOOSE_MM)
        for face in one.faces
        if dot(face.normal, way) > EVEN and extent(other.corners, face.normal)[1] > face.offset + LOOSE_MM
    ]


def is_in_line(one: Solid, other: Solid, way: Vec, sides: Sequence[Vec]) -> bool:
    """Whether some of `other` may lie ahead of `one`, by how far they go along a direction and to both sides of it."""
    if reach(other, way)[1] <= reach(one, way)[0] + LOOSE_MM:
        return False
    for side in sides:
        (low, high), (other_low, other_high) = reach(one, side), reach(other, side)
        if other_low >= high - LOOSE_MM / 2 or low >= other_high - LOOSE_MM / 2:
            return False
    return True


def reaches_through(room: Room, way: Vec) -> bool:
    """Whether what goes into the other part comes out again behind it, seen along the way in which it is drawn out."""
    if room.one.tenon or room.other.tenon:
        return False
    back = scaled(way, -1)
    rest: Solid | None = room.one
    if not (room.one.is_box and room.other.is_box and is_axis(way)):
        rest = behind(room.one, [(normal, offset - LOOSE_MM / 2) for normal, offset in outline(room.common, way)])
    return rest is not None and furthest(rest, back) > furthest(room.common, back) + LOOSE_MM


def sweep(solid: Solid, way: Vec) -> list[tuple[Vec, float]]:
    """The planes around the room through which a solid moves, drawn in a little, and those behind it."""
    behind = [(face.normal, face.offset) for face in solid.faces if dot(face.normal, way) < -EVEN]
    return behind + [(normal, offset - LOOSE_MM / 2) for normal, offset in outline(solid, way)]


def outline(solid: Solid, way: Vec) -> list[tuple[Vec, float]]:
    """The planes along a direction that hold a solid between them: sides of the outline that is seen along it."""
    if solid.is_box and is_axis(way):
        return [(face.normal, face.offset) for face in solid.faces if abs(dot(face.normal, way)) < EVEN]
    right, up = across(way)
    seen = hull([(dot(point, right), dot(point, up)) for point in solid.corners])
    planes = []
    for (x, y), (x2, y2) in zip(seen, (*seen[1:], seen[0]), strict=True):
        out = (y2 - y, x - x2)
        normal = unit(tuple(out[0] * right[n] + out[1] * up[n] for n in range(3)))  # type: ignore[arg-type]
        planes.append((normal, (out[0] * x + out[1] * y) / length((out[0], out[1], 0.0))))
    return planes


def is_axis(way: Vec) -> bool:
    """Whether a direction is that of an axis."""
    return max(map(abs, way)) > 1 - EVEN


def hull(points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """The corners of the convex hull, counterclockwise, by Andrew's monotone chain (1979)."""
    points = sorted({(round(x, 6), round(y, 6)) for x, y in points})
    if len(points) < 3:
        return list(points)

    def chain(order: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
        kept: list[tuple[float, float]] = []
        for p in order:
            while len(kept) > 1 and turn(kept[-2], kept[-1], p) <= EVEN:
                kept.pop()
            kept.append(p)
        return kept[:-1]

    return chain(points) + chain(points[::-1])


def turn(p: tuple[float, float], q: tuple[float, float], r: tuple[float, float]) -> float:
    """Above 0 when the way from p over q to r turns left."""
    return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])


def furthest(solid: Solid, way: Vec) -> float:
    """How far a solid goes in a direction."""
    return extent(solid.corners, way)[1]

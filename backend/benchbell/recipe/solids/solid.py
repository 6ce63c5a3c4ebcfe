"""Convex solids: boxes and prisms, what a plane leaves of one, what two share, how thick and how heavy one is.

A solid is what lies behind all its faces. Every plane is `normal · p = offset`, its normal pointing out.
"""

from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise
from math import atan2

from msgspec import Struct

from benchbell.recipe.solids.vectors import UNITS, Vec, between, bounds, cross, dot, minus, scaled, unit, with_axis

EXACT = 1e-7
"""In mm: what lies nearer to a plane lies on it."""

Ring = tuple[Vec, ...]


class Face(Struct, frozen=True):
    """A flat face. ring: its corners, counterclockwise seen from outside."""

    normal: Vec
    offset: float
    ring: Ring


class Solid(Struct, frozen=True):
    """A convex solid. low, high: its bounds. is_box: whether its bounds are all of it. tenon: whether it is a tenon."""

    faces: tuple[Face, ...]
    low: Vec
    high: Vec
    is_box: bool = False
    tenon: bool = False

    @property
    def corners(self) -> set[Vec]:
        """All corners, each once."""
        return {point for face in self.faces for point in face.ring}


def solid_of(faces: Iterable[Face], tenon: bool = False) -> Solid:
    """The solid with these faces."""
    faces = tuple(faces)
    low, high = bounds(point for face in faces for point in face.ring)
    return Solid(faces, low, high, tenon=tenon)


def face_of(ring: Sequence[Vec]) -> Face:
    """The face with these corners, by Newell's method, which holds for any flat polygon."""
    x = y = z = 0.0
    for p, q in zip(ring, (*ring[1:], ring[0]), strict=True):
        x += (p[1] - q[1]) * (p[2] + q[2])
        y += (p[2] - q[2]) * (p[0] + q[0])
        z += (p[0] - q[0]) * (p[1] + q[1])
    normal = unit((x, y, z))
    return Face(normal, sum(dot(normal, p) for p in ring) / len(ring), tuple(ring))


def prism(low: Sequence[tuple[float, float]], high: Sequence[tuple[float, float]], bottom: float, top: float) -> Solid:
    """A solid between a ring at z = bottom and one with as many corners at z = top, both counterclockwise."""
    lower = [(x, y, bottom) for x, y in low]
    upper = [(x, y, top) for x, y in high]
    around = range(len(lower))
    sides = ((lower[n], lower[n - len(lower) + 1], upper[n - len(lower) + 1], upper[n]) for n in around)
    return solid_of([face_of(lower[::-1]), face_of(upper), *map(face_of, sides)])


def box(low: Vec, high: Vec, tenon: bool = False) -> Solid:
    """An upright box."""
    (a, b, c), (d, e, f) = low, high
    p, q, r, s = (a, b, c), (d, b, c), (d, e, c), (a, e, c)
    t, u, v, w = (a, b, f), (d, b, f), (d, e, f), (a, e, f)
    rings: tuple[Ring, ...] = ((p, t, w, s), (q, r, v, u), (p, q, u, t), (s, w, v, r), (s, r, q, p), (t, u, v, w))
    normals = [scaled(axis, side) for axis in UNITS for side in (-1.0, 1.0)]
    faces = tuple(Face(normal, dot(normal, ring[0]), ring) for normal, ring in zip(normals, rings, strict=True))
    return Solid(faces, low, high, True, tenon)


def cut(solid: Solid, normal: Vec, offset: float) -> Solid | None:
    """What of a solid lies behind a plane; None when nothing does."""
    least, most = reach(solid, normal)
    if most <= offset + EXACT:
        return solid
    if least >= offset - EXACT:
        return None
    if solid.is_box and normal.count(0) == 2:
        return box_behind(solid, normal, offset)
    height = {point: dot(normal, point) - offset for point in solid.corners}
    if max(height.values()) <= EXACT:
        return solid
    if min(height.values()) >= -EXACT:
        return None
    faces: list[Face] = []
    rim: dict[Vec, None] = {}
    for face in solid.faces:
        ring = ring_behind(face.ring, height, rim)
        if len(ring) >= 3 and any(height.get(point, 0.0) < -EXACT for point in ring):
            faces.append(Face(face.normal, face.offset, tuple(ring)))
    cap = in_turn(list(rim), normal)
    if len(cap) >= 3:
        faces.append(Face(normal, offset, cap))
    return solid_of(faces, solid.tenon) if len(faces) >= 4 else None


def box_behind(solid: Solid, normal: Vec, offset: float) -> Solid:
    """What of a box lies behind a plane along its faces: a box."""
    axis = next(n for n in range(3) if normal[n])
    at = offset / normal[axis]
    if normal[axis] > 0:
        return box(solid.low, with_axis(solid.high, axis, at), solid.tenon)
    return box(with_axis(solid.low, axis, at), solid.high, solid.tenon)


def reach(solid: Solid, way: Vec) -> tuple[float, float]:
    """From where to where the bounds of a solid go in a direction, as products with it."""
    (a, b, c), (d, e, f), (x, y, z) = solid.low, solid.high, way
    a, d = (a * x, d * x) if x > 0 else (d * x, a * x)
    b, e = (b * y, e * y) if y > 0 else (e * y, b * y)
    c, f = (c * z, f * z) if z > 0 else (f * z, c * z)
    return a + b + c, d + e + f


def ring_behind(ring: Ring, height: dict[Vec, float], rim: dict[Vec, None]) -> list[Vec]:
    """The part of a ring behind the plane over which its corners have these heights; what lies on it goes to `rim`."""
    kept: list[Vec] = []
    for p, q in zip(ring, (*ring[1:], ring[0]), strict=True):
        a, b = height[p], height[q]
        if a <= EXACT:
            kept.append(p)
            if a >= -EXACT:
                rim[p] = None
        if (a < -EXACT and b > EXACT) or (a > EXACT and b < -EXACT):
            # From the same end for both faces at an edge, so that both get the same point.
            crossing = between(p, q, a / (a - b)) if p < q else between(q, p, b / (b - a))
            kept.append(crossing)
            rim[crossing] = None
    return kept


def in_turn(points: Sequence[Vec], normal: Vec) -> Ring:
    """The points of a plane in their turn around its normal, those at the same place once."""
    if len(points) < 3:
        return tuple(points)
    middle = scaled((sum(p[0] for p in points), sum(p[1] for p in points), sum(p[2] for p in points)), 1 / len(points))
    right = unit(cross(normal, UNITS[0] if abs(normal[0]) < 0.9 else UNITS[1]))
    up = cross(normal, right)
    turned = sorted(points, key=lambda p: atan2(dot(minus(p, middle), up), dot(minus(p, middle), right)))
    return tuple(p for p, q in zip(turned, (*turned[1:], turned[0]), strict=True) if distance(p, q) > 10 * EXACT)


def distance(p: Vec, q: Vec) -> float:
    """The greatest difference of two points along one axis."""
    return max(abs(p[0] - q[0]), abs(p[1] - q[1]), abs(p[2] - q[2]))


def shared(a: Solid, b: Solid, more: float = 0.0) -> Solid | None:
    """What lies in a and in b grown by `more` mm; None when nothing does."""
    if any(a.low[n] > b.high[n] + more or b.low[n] > a.high[n] + more for n in range(3)):
        return None
    if a.is_box and b.is_box:
        low = (max(a.low[0], b.low[0] - more), max(a.low[1], b.low[1] - more), max(a.low[2], b.low[2] - more))
        high = (min(a.high[0], b.high[0] + more), min(a.high[1], b.high[1] + more), min(a.high[2], b.high[2] + more))
        return box(low, high) if all(low[n] < high[n] - EXACT for n in range(3)) else None
    rest: Solid | None = a
    for face in b.faces:
        if rest is None:
            return None
        rest = cut(rest, face.normal, face.offset + more)
    return rest


def thickness(solid: Solid) -> float:
    """How far apart the two parallel planes must be that hold a solid between them, over all its faces; in mm."""
    if solid.is_box:
        return min(high - low for low, high in zip(solid.low, solid.high, strict=True))
    corners = solid.corners
    return min(face.offset - min(dot(face.normal, point) for point in corners) for face in solid.faces)


def volume(solid: Solid) -> float:
    """Its volume in mm³."""
    return sum(face.offset * ring_area(face) for face in solid.faces) / 3


def ring_area(face: Face) -> float:
    """The area of a face in mm²."""
    first, *rest = face.ring
    pairs = pairwise(rest)
    return sum(dot(face.normal, cross(minus(p, first), minus(q, first))) for p, q in pairs) / 2


def moved(solid: Solid, place: Callable[[Vec], Vec]) -> Solid:
    """A solid moved by an affine map; one that mirrors turns no face inside out."""
    origin = place((0.0, 0.0, 0.0))
    x, y, z = (minus(place(axis), origin) for axis in UNITS)
    if solid.is_box and all(axis[n] == 0 for k, axis in enumerate((x, y, z)) for n in range(3) if n != k):
        return box(*bounds((place(solid.low), place(solid.high))), solid.tenon)
    mirrors = dot(cross(x, y), z) < 0
    rings = ([place(point) for point in face.ring] for face in solid.faces)
    return solid_of([face_of(ring[::-1] if mirrors else ring) for ring in rings], solid.tenon)

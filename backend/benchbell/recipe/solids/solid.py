"""Convex solids: boxes and prisms, what a plane leaves of one, what two share, how thick and how heavy one is.

A solid is what lies behind all its faces. Every plane is `normal · p = offset`, its normal pointing out.
"""

from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise
from math import atan2, prod

from msgspec import Struct

from benchbell.recipe.solids.vectors import (
    UNITS,
    Vec,
    across,
    between,
    bounds,
    cross,
    dot,
    minus,
    unit,
    vec,
    with_axis,
)

EXACT = 1e-7
"""In mm: what lies nearer to a plane lies on it."""

BOX_NORMALS: tuple[Vec, ...] = (
    (-1.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0), (0.0, 0.0, 1.0)
)  # fmt: skip
"""Where the faces of a box look."""

Ring = tuple[Vec, ...]


class Face(Struct, frozen=True):
    """A flat face. ring: its corners, counterclockwise seen from outside."""

    normal: Vec
    offset: float
    ring: Ring


class Solid(Struct, frozen=True):
    """A convex solid. corners: each once. low, high: its bounds. is_box: whether those are all of it.

    tenon: whether it is a tenon.
    """

    faces: tuple[Face, ...]
    corners: tuple[Vec, ...]
    low: Vec
    high: Vec
    is_box: bool = False
    tenon: bool = False


def solid_of(faces: Iterable[Face], tenon: bool = False) -> Solid:
    """The solid with these faces."""
    faces = tuple(faces)
    corners = tuple({point: None for face in faces for point in face.ring})
    return Solid(faces, corners, *bounds(corners), tenon=tenon)


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
    faces = tuple(map(Face, BOX_NORMALS, (-a, d, -b, e, -c, f), rings))
    return Solid(faces, (p, q, r, s, t, u, v, w), low, high, True, tenon)


def cut(solid: Solid, normal: Vec, offset: float) -> Solid | None:
    """What of a solid lies behind a plane; None when nothing does."""
    if solid.is_box and normal.count(0) == 2:
        return box_behind(solid, normal, offset)
    x, y, z = normal
    height = {point: x * point[0] + y * point[1] + z * point[2] - offset for point in solid.corners}
    if max(height.values()) <= EXACT:
        return solid
    if min(height.values()) >= -EXACT:
        return None
    rim: dict[Vec, None] = {point: None for point, far in height.items() if -EXACT <= far <= EXACT}
    faces = [rest for face in solid.faces if (rest := face_behind(face, height, rim))]
    cap = in_turn(list(rim), normal)
    if len(cap) >= 3:
        faces.append(Face(normal, offset, cap))
    return solid_of(faces, solid.tenon) if len(faces) >= 4 else None


def box_behind(solid: Solid, normal: Vec, offset: float) -> Solid | None:
    """What of a box lies behind a plane along its faces: a box, or None."""
    least, most = reach(solid, normal)
    if most <= offset + EXACT:
        return solid
    if least >= offset - EXACT:
        return None
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


def face_behind(face: Face, height: dict[Vec, float], rim: dict[Vec, None]) -> Face | None:
    """What of a face lies behind the plane over which its corners have these heights; None when it has no area there.

    Where the plane crosses its edges goes to `rim`.
    """
    heights = [height[point] for point in face.ring]
    if min(heights) >= -EXACT:
        return None
    if max(heights) <= EXACT:
        return face
    kept: list[Vec] = []
    p, a = face.ring[-1], heights[-1]
    for q, b in zip(face.ring, heights, strict=True):
        if (a < -EXACT and b > EXACT) or (a > EXACT and b < -EXACT):
            # From the same end for both faces at an edge, so that both get the same point.
            crossing = between(p, q, a / (a - b)) if p < q else between(q, p, b / (b - a))
            kept.append(crossing)
            rim[crossing] = None
        if b <= EXACT:
            kept.append(q)
        p, a = q, b
    return Face(face.normal, face.offset, tuple(kept)) if len(kept) >= 3 else None


def in_turn(points: Sequence[Vec], normal: Vec) -> Ring:
    """The points of a plane in their turn around its normal, those at the same place once."""
    if len(points) < 3:
        return tuple(points)
    right, up = across(normal)
    flat = [(dot(point, right), dot(point, up)) for point in points]
    x, y = (sum(one) / len(points) for one in zip(*flat, strict=True))
    angles = [atan2(b - y, a - x) for a, b in flat]
    turned = [points[n] for n in sorted(range(len(points)), key=angles.__getitem__)]
    last = turned[-1]
    ring = []
    for point in turned:
        if max(abs(point[0] - last[0]), abs(point[1] - last[1]), abs(point[2] - last[2])) > 10 * EXACT:
            ring.append(point)
            last = point
    return tuple(ring)


def shared(a: Solid, b: Solid, thinnest: float = EXACT) -> Solid | None:
    """What lies in both solids; None when nothing does.

    None too when one goes less than `thinnest` mm behind a face of the other.
    """
    if a.is_box and b.is_box:
        return box_shared(a, b)
    of_b = planes_across(a, b, -thinnest)
    of_a = planes_across(b, a, -thinnest) if of_b is not None else None
    if of_a is None or of_b is None:
        return None
    return behind(a, of_b) if (a.is_box, -len(of_b)) >= (b.is_box, -len(of_a)) else behind(b, of_a)


def touching(a: Solid, b: Solid, gap: float) -> Solid | None:
    """What of one solid lies no further than a gap in mm from the other; None when nothing does. Boxes stay boxes."""
    if a.is_box and b.is_box:
        return box_shared(a, b, gap)
    first, second = (b, a) if b.is_box else (a, b)
    for one, other in ((first, second), (second, first)):
        planes = planes_across(one, other, gap)
        found = behind(one, [(normal, offset + gap) for normal, offset in planes]) if planes is not None else None
        if found:
            return found
    return None


def box_shared(a: Solid, b: Solid, more: float = 0.0) -> Solid | None:
    """What lies in a box and in another one grown by `more` mm; None when nothing does."""
    low = (max(a.low[0], b.low[0] - more), max(a.low[1], b.low[1] - more), max(a.low[2], b.low[2] - more))
    high = (min(a.high[0], b.high[0] + more), min(a.high[1], b.high[1] + more), min(a.high[2], b.high[2] + more))
    return box(low, high) if all(low[n] < high[n] - EXACT for n in range(3)) else None


def planes_across(a: Solid, b: Solid, more: float) -> list[tuple[Vec, float]] | None:
    """The planes of b's faces that may cut a; None when all of a lies more than `more` mm before one of them."""
    planes = []
    for face in b.faces:
        least, most = extent(a.corners, face.normal)
        if least >= face.offset + more:
            return None
        if most > face.offset + max(more, EXACT):
            planes.append((face.normal, face.offset))
    return planes


def behind(solid: Solid, planes: Iterable[tuple[Vec, float]]) -> Solid | None:
    """What of a solid lies behind all planes; None when nothing does."""
    rest: Solid | None = solid
    for normal, offset in planes:
        if rest is None:
            return None
        rest = cut(rest, normal, offset)
    return rest


def extent(points: Iterable[Vec], way: Vec) -> tuple[float, float]:
    """From where to where points go in a direction, as products with it."""
    x, y, z = way
    products = [x * a + y * b + z * c for a, b, c in points]
    return min(products), max(products)


def thickness(solid: Solid) -> float:
    """How far apart the two parallel planes must be that hold a solid between them, over all its faces; in mm."""
    if solid.is_box:
        return min(high - low for low, high in zip(solid.low, solid.high, strict=True))
    return min(face.offset - extent(solid.corners, face.normal)[0] for face in solid.faces)


def volume(solid: Solid) -> float:
    """Its volume in mm³."""
    if solid.is_box:
        return prod(high - low for low, high in zip(solid.low, solid.high, strict=True))
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
    side = -1.0 if mirrors else 1.0
    squares = list(zip(cross(y, z), cross(z, x), cross(x, y), strict=True))
    placed = {point: place(point) for point in solid.corners}
    faces = []
    for face in solid.faces:
        a, b, c = face.normal
        normal = unit(vec([side * (a * sx + b * sy + c * sz) for sx, sy, sz in squares]))
        ring = tuple(placed[point] for point in face.ring)
        faces.append(Face(normal, dot(normal, ring[0]), ring[::-1] if mirrors else ring))
    return solid_of(faces, solid.tenon)

"""Mitres: slanting faces that go right through a part, and how they close against what lies before them."""

from collections.abc import Iterator
from math import cos, radians, sin

from msgspec import Struct

from benchbell.recipe.solids.contacts import Contact
from benchbell.recipe.solids.layout import LaidPart
from benchbell.recipe.solids.solid import Face, behind, ring_area
from benchbell.recipe.solids.vectors import cross, dot, minus, unit

SLANTS = radians(20)
"""A face counts as a mitre when it is so far out of square at least, and two as facing when no further out of line."""

FLUSH_MM = 0.5
"""Faces no further apart than this are meant to be flush."""

REACHES_MM = 10.0
"""What stands further before a mitre is not what it closes against."""

SHARE = 0.25
"""What covers less of a mitre than this share is not what it closes against."""


class Mitre(Struct, frozen=True):
    """A slanting face of a part. through: the axis on which it goes right through the part. along: the other one."""

    face: Face
    through: int
    along: int


class Fit(Struct, frozen=True):
    """How far a mitre and the face before it stand apart, at least and at most, in mm; below 0 they overlap."""

    least: float
    most: float


def mitres_of(part: LaidPart) -> Iterator[Mitre]:
    """The mitres of a part that does not lean."""
    if any(max(map(abs, one)) < 1 - 1e-9 for one in (unit(part.grain), part.wide, part.thick)):
        return
    for face in (face for solid in part.solids if not solid.tenon for face in solid.faces):
        axes = [n for n in range(3) if sin(SLANTS) <= abs(face.normal[n]) <= cos(SLANTS)]
        through = [n for n in axes if goes_through(face, part, n)] if len(axes) == 2 else []
        if through:
            thin = min(through, key=lambda n: part.high[n] - part.low[n])
            yield Mitre(face, thin, sum(axes) - thin)


def goes_through(face: Face, part: LaidPart, axis: int) -> bool:
    """Whether a face goes from one side of a part to the other on an axis."""
    places = [point[axis] for point in face.ring]
    return min(places) < part.low[axis] + FLUSH_MM and max(places) > part.high[axis] - FLUSH_MM


def fit(mitre: Mitre, other: LaidPart) -> Fit | None:
    """How a mitre closes against another part; None when that has no face to close it."""
    normal, offset, ring = mitre.face.normal, mitre.face.offset, mitre.face.ring
    edges = zip(ring, (*ring[1:], ring[0]), strict=True)
    sides = [(out, dot(out, p)) for p, q in edges for out in [unit(cross(minus(q, p), normal))]]
    found: list[tuple[float, Fit]] = []
    for rest in (behind(solid, sides) for solid in other.solids):
        for face in rest.faces if rest else ():
            if dot(face.normal, normal) > -cos(SLANTS):
                continue
            heights = [dot(normal, point) - offset for point in face.ring]
            if min(heights) < REACHES_MM and max(heights) > -REACHES_MM:
                found.append((ring_area(face), Fit(min(heights), max(heights))))
    area, best = max(found, key=lambda one: one[0], default=(0.0, None))
    return best if area > SHARE * ring_area(mitre.face) else None


def stands_in_corner(mitre: Mitre, part: LaidPart, other: LaidPart, contact: Contact) -> bool:
    """Whether another part fills the corner for which a part is mitred, and so runs into it."""
    normal, offset = mitre.face.normal, mitre.face.offset
    meets = any(
        dot(face.normal, normal) > 1 - 1e-6 and abs(face.offset - offset) < FLUSH_MM
        for solid in contact.joint
        for face in solid.faces
    )
    outside = [(mitre.through, -normal[mitre.through]), (mitre.along, normal[mitre.along])]
    return meets and all(
        abs((part.high if side > 0 else part.low)[axis] - (other.high if side > 0 else other.low)[axis]) < FLUSH_MM
        for axis, side in outside
    )


def lie_in_one_room(mitre: Mitre, other: Mitre, contact: Contact) -> bool:
    """Whether the mitres of two parts that share room both end what they share: they are cut off the wrong corners."""
    points = (*mitre.face.ring, *other.face.ring)
    return bool(contact.rooms) and all(
        low - FLUSH_MM < at < high + FLUSH_MM
        for point in points
        for at, low, high in zip(point, contact.low, contact.high, strict=True)
    )

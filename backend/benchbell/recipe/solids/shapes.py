"""A part in its place: the box it fills, and what makes it more than a box: tenons, ends and edges, a bow, a lathe."""

from collections.abc import Mapping, Sequence
from math import asin, cos, hypot, pi, sin

from msgspec import Struct
from msgspec.structs import replace

from benchbell.findings import Refused
from benchbell.recipe.placing import EdgeShape
from benchbell.recipe.solids.profiles import Profile, taken_share, without_profile
from benchbell.recipe.solids.solid import Solid, box, cut, moved, prism
from benchbell.recipe.solids.vectors import Vec, vec, with_axis

ROUND_SIDES = 24
BOW_PIECES = 16
SIDES: Mapping[str, tuple[int, int]] = {
    "left": (0, 0), "right": (0, 1), "front": (1, 0), "back": (1, 1), "bottom": (2, 0), "top": (2, 1)
}  # fmt: skip
"""By a face's name, its axis, and whether it is the higher of the two."""


class CannotLay(Refused):
    """A part cannot lie as its recipe says, with the sizes it was given. what: follows the part's name."""


class TenonShape(Struct, frozen=True):
    """Tenons in mm as the part lies. up: how far their middle is off the part's, along its width. end: a face or ""."""

    long: float
    thick: float
    wide: float
    up: float
    end: str


class EdgeCut(Struct, frozen=True):
    """What is taken off an edge. edge: the two faces that meet there. by: how far it goes on each axis, in mm."""

    edge: tuple[str, ...]
    by: Mapping[str, float]
    shape: EdgeShape = "flat"


class Rabbet(Struct, frozen=True):
    """The room that a rabbet takes off along an edge: its box. axes: of the two faces that meet there; sides: 1 for the
    higher face, else -1.
    """

    low: Vec
    high: Vec
    axes: tuple[int, int]
    sides: tuple[int, int]

    def floor(self, n: int) -> float:
        """How far out its wall or floor lies on one of its axes, counted to its side. n: which axis."""
        return self.low[self.axes[n]] if self.sides[n] > 0 else -self.high[self.axes[n]]

    def mirrored(self, by: tuple[float, float]) -> "Rabbet":
        """The same where the part is mirrored. by: -1 on the axes on which it is, else 1."""
        signs = (*by, 1.0)
        ends = [sorted((low * sign, high * sign)) for low, high, sign in zip(self.low, self.high, signs, strict=True)]
        sides = tuple(side if signs[axis] > 0 else -side for axis, side in zip(self.axes, self.sides, strict=True))
        return Rabbet(vec([low for low, _ in ends]), vec([high for _, high in ends]), self.axes, (sides[0], sides[1]))


class Plane(Struct, frozen=True):
    """The side of a plane on which wood stays: normal · p <= offset."""

    normal: Vec
    offset: float


class Shape(Struct, frozen=True):
    """What a part is made from. low, high: its box. way: axes of length, width and thickness.

    tip: a round part's thickness at its lower end over that at its upper end, or None. rise: of a bow, in mm.
    """

    low: Vec
    high: Vec
    way: tuple[int, int, int]
    tenon: TenonShape | None = None
    cuts: tuple[EdgeCut, ...] = ()
    tip: float | None = None
    rise: float = 0.0


def solids_of(shape: Shape) -> list[Solid]:
    """The solids of a part: its body, or the pieces of its bow, then its tenons.

    Raises CannotLay when its tenons are longer than the part, a rabbet or moulding is deeper than it, or nothing of it
    is left.
    """
    if any(shape.low[n] >= shape.high[n] for n in range(3)):
        raise CannotLay("it would have no thickness.", "Correct its size.")
    if shape.rise:
        if profiles_of(shape):
            what = "it is bent, and a bent part is drawn without rabbets and mouldings."
            raise CannotLay(what, "Take them out of off.")
        return bow(shape)
    planes = [plane for edge in shape.cuts if edge.shape == "flat" for plane in planes_of(edge, shape)]
    made = with_tenons(shape, planes) if shape.tenon else [cut_by(blank(shape), planes)]
    solids = [solid for solid in made if solid is not None]
    if not solids or len(solids) < len(made):
        raise CannotLay("nothing of it would be left.", "Take less off its edges.")
    for profile in profiles_of(shape):
        solids = without_profile(solids, profile)
    return solids


def blank(shape: Shape) -> Solid:
    """The part before anything is taken off: a box, or what comes off the lathe."""
    if shape.tip is None:
        return box(shape.low, shape.high)
    return turned(shape.low, shape.high, shape.way[0], shape.tip)


def cut_by(solid: Solid | None, planes: Sequence[Plane]) -> Solid | None:
    """What of a solid lies behind all planes."""
    for plane in planes:
        solid = cut(solid, plane.normal, plane.offset) if solid else None
    return solid


def planes_of(edge: EdgeCut, shape: Shape) -> list[Plane]:
    """The plane that takes an edge off: through two lines beside it, one on each face. Empty where it takes nothing."""
    if any(far <= 0 for far in edge.by.values()):
        return []
    normal, offset = [0.0, 0.0, 0.0], -1.0
    for face in edge.edge:
        axis, side = SIDES[face]
        normal[axis] = (1 if side else -1) / edge.by["xyz"[axis]]
        offset += normal[axis] * (shape.high, shape.low)[1 - side][axis]
    size = hypot(*normal)
    return [Plane(vec([one / size for one in normal]), offset / size)]


def profiles_of(shape: Shape) -> list[Profile]:
    """The rabbets and mouldings of a part; those that take nothing off are left out.

    Raises CannotLay when one goes through the part.
    """
    found = []
    for edge in shape.cuts:
        far = [edge.by["xyz"[SIDES[face][0]]] for face in edge.edge]
        if edge.shape == "flat" or min(far) <= 0:
            continue
        (a, side_a), (b, side_b) = (SIDES[face] for face in edge.edge)
        faces = [(shape.high, shape.low)[1 - side][axis] for axis, side in ((a, side_a), (b, side_b))]
        if any(mm >= shape.high[axis] - shape.low[axis] for axis, mm in zip((a, b), far, strict=True)):
            what = f"its {edge.shape} along “{' '.join(edge.edge)}” goes right through it."
            raise CannotLay(what, "Correct how far it goes, or the part's size.")
        found.append(
            Profile(edge.shape, (a, b), (2 * side_a - 1, 2 * side_b - 1), (faces[0], faces[1]), (far[0], far[1]))
        )
    return found


def rabbets_of(shape: Shape) -> list[Rabbet]:
    """The rooms that a part's rabbets take off."""
    found = []
    for one in profiles_of(shape):
        if one.shape == "rabbet":
            low, high = list(shape.low), list(shape.high)
            for axis, side, at, far in zip(one.axes, one.sides, one.at, one.far, strict=True):
                low[axis], high[axis] = sorted((at, at - side * far))
            found.append(Rabbet(vec(low), vec(high), one.axes, one.sides))
    return found


def kept_share(shape: Shape) -> float:
    """The share of its section that its rabbets and mouldings along the grain leave."""
    _, wide, thick = shape.way
    whole = (shape.high[wide] - shape.low[wide]) * (shape.high[thick] - shape.low[thick])
    along = [one for one in profiles_of(shape) if shape.way[0] not in one.axes]
    return 1 - sum(taken_share(one.shape) * one.far[0] * one.far[1] for one in along) / whole


def with_tenons(shape: Shape, planes: Sequence[Plane]) -> list[Solid | None]:
    """The body between its shoulders, and its tenons. A slanting end has its shoulder parallel to it."""
    tenon, grain = shape.tenon, shape.way[0]
    assert tenon is not None
    ends = [side for face, (axis, side) in SIDES.items() if axis == grain and tenon.end in ("", face)]
    if tenon.long * len(ends) >= shape.high[grain] - shape.low[grain]:
        raise CannotLay("its tenons are longer than the part.", "Correct tenon.long or its size.")
    slanted = {side: [plane for plane in planes if plane.normal[grain] * (2 * side - 1) > 0] for side in ends}
    shoulders: list[Plane] = []
    tenons: list[Solid | None] = []
    for side in ends:
        flat = Plane(
            with_axis((0.0, 0.0, 0.0), grain, 2.0 * side - 1), (shape.high, shape.low)[1 - side][grain] * (2 * side - 1)
        )
        own = [set_back(plane, grain, tenon.long) for plane in (flat, *slanted[side])]
        shoulders += own
        outside = Plane(vec([-n for n in own[-1].normal]), -own[-1].offset)
        tenons.append(cut_by(tenon_blank(shape, tenon), [*slanted[side], outside]))
    others = [plane for plane in planes if not any(plane in of_end for of_end in slanted.values())]
    body = cut_by(blank(shape), [*shoulders, *others])
    return [body, *(as_tenon(one) for one in tenons)]


def as_tenon(solid: Solid | None) -> Solid | None:
    """The same solid, marked as a tenon."""
    return solid and replace(solid, tenon=True)


def set_back(plane: Plane, axis: int, by: float) -> Plane:
    """A plane moved along an axis, into the part."""
    return Plane(plane.normal, plane.offset - abs(plane.normal[axis]) * by)


def tenon_blank(shape: Shape, tenon: TenonShape) -> Solid:
    """A bar as long as the part, with the section of its tenons."""
    _, wide, thick = shape.way
    low, high = shape.low, shape.high
    for axis, size, off in ((wide, tenon.wide, tenon.up), (thick, tenon.thick, 0.0)):
        middle = (shape.low[axis] + shape.high[axis]) / 2 + off
        low, high = with_axis(low, axis, middle - size / 2), with_axis(high, axis, middle + size / 2)
    return box(low, high, True) if shape.tip is None else turned(low, high, shape.way[0], 1.0)


def turned(low: Vec, high: Vec, axis: int, tip: float) -> Solid:
    """A round part along an axis, filling its box at the upper end and `tip` times as thick at the lower one."""
    across, other = (axis + 1) % 3, (axis + 2) % 3
    middle, half = (
        [(a + b) / 2 for a, b in zip(low, high, strict=True)],
        [(b - a) / 2 for a, b in zip(low, high, strict=True)],
    )
    ring = [(cos(2 * pi * n / ROUND_SIDES), sin(2 * pi * n / ROUND_SIDES)) for n in range(ROUND_SIDES)]

    def place(point: Vec) -> Vec:
        placed = [0.0, 0.0, 0.0]
        placed[axis] = point[2]
        placed[across] = middle[across] + point[0] * half[across]
        placed[other] = middle[other] + point[1] * half[other]
        return vec(placed)

    return moved(prism([(x * tip, y * tip) for x, y in ring], ring, low[axis], high[axis]), place)


def bow(shape: Shape) -> list[Solid]:
    """The pieces of a bent part: arcs of a ring about the middle of its curve. Its middle fills the box's thickness."""
    along, wide, thick = shape.way
    half = (shape.high[along] - shape.low[along]) / 2
    rise = abs(shape.rise)
    hollow = (half**2 + rise**2) / (2 * rise)
    outer = hollow + shape.high[thick] - shape.low[thick]
    angle = asin(min(1.0, half / hollow)) if rise <= half else pi - asin(half / hollow)
    up = 1 if shape.rise > 0 else -1
    middle = (shape.low[along] + shape.high[along]) / 2
    face = shape.high[thick] if up > 0 else shape.low[thick]

    def at(piece: int, radius: float) -> tuple[float, float]:
        turn = angle * (2 * piece / BOW_PIECES - 1)
        return middle + radius * sin(turn), face + up * (hollow - radius * cos(turn))

    def place(point: Vec) -> Vec:
        placed = [0.0, 0.0, 0.0]
        placed[along], placed[thick], placed[wide] = point
        return vec(placed)

    rings = (
        [at(piece, hollow), at(piece, outer), at(piece + 1, outer), at(piece + 1, hollow)]
        for piece in range(BOW_PIECES)
    )
    return [moved(prism(r, r, shape.low[wide], shape.high[wide]), place) for r in (ring[::up] for ring in rings)]

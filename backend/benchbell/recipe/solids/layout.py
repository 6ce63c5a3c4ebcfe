"""All parts of a piece where they lie, with the sizes as they are now, each after those whose faces it uses."""

from collections.abc import Mapping, Sequence
from math import hypot, radians, tan

from msgspec import Struct
from msgspec.structs import replace

from benchbell.recipe.formula import evaluate
from benchbell.recipe.placing import Axis, How, Placing
from benchbell.recipe.sheet import Formula
from benchbell.recipe.solids.shapes import SIDES, EdgeCut, Rabbet, Shape, TenonShape, kept_share, rabbets_of, solids_of
from benchbell.recipe.solids.solid import Solid, moved
from benchbell.recipe.solids.vectors import AXES, UNITS, Vec, bounds, dot, minus, vec

LEVEL: tuple[Axis, Axis] = ("x", "y")
"""The axes along which parts may lean."""

PAIRS = ("over", "clear", "centres")
"""Words for a mirrored pair about the middle."""

UPWARDS = 0.1
"""A face that looks up at least so much is one that things rest on."""


class LaidPart(Struct, frozen=True):
    """One part where it lies. name: leg-1. part: its kind, leg. low, high: its bounds.

    grain, wide, thick: directions of its length, width and thickness; section: how far it goes along the latter two.
    kept: the share of that section which rabbets and mouldings along it leave. rabbets: their rooms, unless it leans.
    """

    name: str
    part: str
    solids: tuple[Solid, ...]
    low: Vec
    high: Vec
    grain: Vec
    wide: Vec
    thick: Vec
    section: tuple[float, float]
    kept: float = 1.0
    rabbets: tuple[Rabbet, ...] = ()


def layout(placings: Sequence[Placing], sizes: Mapping[str, float]) -> list[LaidPart]:
    """Every part of a piece. sizes: the named sizes in base units, as built where they were measured.

    Raises CannotEvaluate when a formula has no value, CannotLay when a part cannot be made with these sizes.
    """
    known = dict(sizes)
    laid: list[LaidPart] = []
    for placing in placings:
        copies = copies_of(placing, known, laid)
        laid += copies
        known |= faces_of(placing, copies)
    return laid


def faces_of(placing: Placing, copies: Sequence[LaidPart]) -> dict[str, float]:
    """Where the faces of the copies lie, by "leg-1.top"; those of the first by "leg.top" too."""
    named = [*((one.name, one) for one in copies), (placing.part, copies[0])]
    return {
        f"{name}.{face}": (one.high if side else one.low)[axis]
        for name, one in named
        for face, (axis, side) in SIDES.items()
    }


def names_of(placing: Placing) -> list[str]:
    """The names of its copies."""
    return [f"{placing.part}-{n}" for n in range(1, placing.count + 1)] if placing.count > 1 else [placing.part]


class Stance(Struct, frozen=True):
    """What all copies of a part share. way: axes of length, width and thickness. extent: how far it goes on each axis.

    leans: tangents of its lean, seen from the front and from the side. level: by axis, a level or upright size over the
    same size measured square to the leaning part.
    """

    way: tuple[int, int, int]
    extent: Vec
    leans: tuple[float, float]
    level: Vec


def stance_of(placing: Placing, known: Mapping[str, float]) -> Stance:
    """How all copies of a part stand."""
    a, b, c = (AXES.index(axis) for axis in placing.way)
    front, side = (tan(radians(evaluate(placing.lean[axis], known))) if axis in placing.lean else 0.0 for axis in LEVEL)
    level = (hypot(1, front), hypot(1, side), 1 / hypot(1, front, side))
    extent = [0.0, 0.0, 0.0]
    for axis, formula in zip((a, b, c), placing.size, strict=True):
        extent[axis] = evaluate(formula, known) * level[axis]
    return Stance((a, b, c), vec(extent), (front, side), level)


def copies_of(placing: Placing, known: Mapping[str, float], laid: Sequence[LaidPart]) -> list[LaidPart]:
    """All copies of one part. known: sizes, and faces of the parts laid before."""
    stance = stance_of(placing, known)
    found = []
    shapes: dict[Vec, tuple[Shape, list[Solid]]] = {}  # by corner: mirrored copies are made from the same solids
    for n, name in enumerate(names_of(placing)):
        low, mirrored = corner_of(placing, stance, index_of(placing, n), known)
        if low not in shapes:
            shape = shape_of(placing, low, stance, known)
            shapes[low] = (shape, solids_of(shape))
        found.append(copy_of(name, placing, *shapes[low], stance, mirrored, laid))
    return found


def index_of(placing: Placing, n: int) -> dict[Axis, int]:
    """Which of those that differ on each axis copy n is, counted from 0."""
    if placing.around:
        return {"x": int(n in (1, 2)), "y": int(n > 1)}
    index: dict[Axis, int] = {}
    for axis, many in placing.copies.items():
        index[axis], n = n % many, n // many
    return index


def corner_of(
    placing: Placing, stance: Stance, index: Mapping[Axis, int], known: Mapping[str, float]
) -> tuple[Vec, tuple[float, float]]:
    """The left, front and lower corner of a copy, of a mirrored one that of its twin; and -1 where it is mirrored."""
    low, mirrored = [-stance.extent[0] / 2, -stance.extent[1] / 2, 0.0], [1.0, 1.0, 1.0]
    for number, (axis, places) in enumerate(placing.places.items()):
        n = index.get(axis, 0)
        if not places:
            continue
        how, formula = places[n if len(places) > 1 else 0]
        many = placing.copies.get(axis, 1)
        low[number] = lower_face(how, evaluate(formula, known), stance.extent[number], n, many)
        mirrored[number] = -1.0 if how in PAIRS and n else 1.0
    return vec(low), (mirrored[0], mirrored[1])


def copy_of(
    name: str,
    placing: Placing,
    shape: Shape,
    unmoved: Sequence[Solid],
    stance: Stance,
    mirrored: tuple[float, float],
    laid: Sequence[LaidPart],
) -> LaidPart:
    """One copy: laid on what is bent, leant, and mirrored. unmoved: the solids of its shape."""
    bed = next((one for one in laid if one.name == placing.rests), None)
    slope = slope_on(bed, shape) if bed else None
    lean_x, lean_y = (outwards(shape, axis) * stance.leans[axis] for axis in (0, 1))

    def place(point: Vec) -> Vec:
        x, y, z = slope.laid(point) if slope else point
        below = shape.high[2] - z
        return ((x + lean_x * below) * mirrored[0], (y + lean_y * below) * mirrored[1], z)

    stays = slope is None and not any(stance.leans) and mirrored == (1.0, 1.0)
    solids = tuple(solid if stays else moved(solid, place) for solid in unmoved)
    upright = slope is None and not any(stance.leans)
    rabbets = tuple(one.mirrored(mirrored) for one in rabbets_of(shape)) if upright else ()
    axes = [minus(place(axis), place((0.0, 0.0, 0.0))) for axis in UNITS]
    return replace(laid_part(name, placing.part, solids, shape, axes), rabbets=rabbets)


def laid_part(name: str, part: str, solids: tuple[Solid, ...], shape: Shape, axes: Sequence[Vec]) -> LaidPart:
    """A part with its bounds and directions. axes: what the axes became when it was moved."""
    low, high = bounds(point for solid in solids for point in (solid.low, solid.high))
    grain, wide, thick = (axes[axis] for axis in shape.way)
    section = (shape.high[shape.way[1]] - shape.low[shape.way[1]], shape.high[shape.way[2]] - shape.low[shape.way[2]])
    return LaidPart(name, part, solids, low, high, grain, wide, thick, section, kept_share(shape))


def lower_face(how: How, at: float, extent: float, n: int, many: int) -> float:
    """Where the left, front or lower face lies of copy n of `many` on an axis; of a pair that of the first."""
    match how:
        case "from":
            return at
        case "to":
            return at - extent
        case "mid":
            return at - extent / 2
        case "row":
            return n * (extent + at) - (many * extent + (many - 1) * at) / 2
        case "over":
            return -at / 2
        case "clear":
            return -at / 2 - extent
        case "centres":
            return -(at + extent) / 2


def outwards(shape: Shape, axis: int) -> float:
    """To which side of the middle of the piece a part leans: -1 or 1."""
    return -1.0 if shape.low[axis] + shape.high[axis] <= 0 else 1.0


def shape_of(placing: Placing, low: Vec, stance: Stance, known: Mapping[str, float]) -> Shape:
    """What a copy is made from, in mm."""
    length, width, thickness = stance.way

    def size(formula: Formula, axis: int, otherwise: float = 0.0) -> float:
        return evaluate(formula, known) * stance.level[axis] if formula else otherwise

    tenon = None
    if placing.tenon:
        written = placing.tenon
        tenon = TenonShape(
            long=size(written.long, length),
            thick=size(written.thick, thickness, stance.extent[thickness]),
            wide=size(written.wide, width, stance.extent[width]),
            up=size(written.up, width),
            end=written.end,
        )
    cuts = tuple(
        EdgeCut(one.edge, {axis: size(far, AXES.index(axis)) for axis, far in one.by.items()}, one.shape)
        for one in placing.off
    )
    return Shape(
        low=low,
        high=vec([a + b for a, b in zip(low, stance.extent, strict=True)]),
        way=stance.way,
        tenon=tenon,
        cuts=cuts,
        tip=size(placing.round, thickness) / stance.extent[thickness] if placing.round else None,
        rise=size(placing.bow, thickness),
    )


class Slope(Struct, frozen=True):
    """Where a part rests on a bent one: at a point, on a face that looks along `normal`. base: where it lay before."""

    at: Vec
    normal: Vec
    base: float

    def laid(self, point: Vec) -> Vec:
        """A point of the part, turned about the place where it rests and put on it."""
        x, y, z = minus(point, (self.at[0], self.at[1], self.base))
        sine = hypot(self.normal[0], self.normal[1])
        if not sine:
            return (point[0], point[1], self.at[2] + z)
        a, b = self.normal[0] / sine, self.normal[1] / sine
        along, across = a * x + b * y, b * x - a * y
        along, z = along * self.normal[2] + z * sine, z * self.normal[2] - along * sine
        return (self.at[0] + a * along + b * across, self.at[1] + b * along - a * across, self.at[2] + z)


def slope_on(bed: LaidPart, shape: Shape) -> Slope | None:
    """How high and how steep a bent part is under the middle of what rests on it; None where it is not under it."""
    middle = [(shape.low[n] + shape.high[n]) / 2 for n in range(3)]
    over = [middle[n] if abs(bed.grain[n]) > UPWARDS else (bed.low[n] + bed.high[n]) / 2 for n in range(2)]
    best: Slope | None = None
    for solid in bed.solids:
        for face in solid.faces:
            if face.normal[2] <= UPWARDS:
                continue
            height = (face.offset - face.normal[0] * over[0] - face.normal[1] * over[1]) / face.normal[2]
            point = (over[0], over[1], height)
            inside = all(dot(one.normal, point) <= one.offset + 0.05 for one in solid.faces)
            if inside and (best is None or height > best.at[2]):
                best = Slope((middle[0], middle[1], height), face.normal, shape.low[2])
    return best

"""All parts of a piece where they lie, with the sizes as they are now. Each kind lies after those whose faces it uses."""

from collections.abc import Mapping, Sequence
from math import cos, hypot, radians, tan

from msgspec import Struct

from benchbell.recipe.formula import evaluate
from benchbell.recipe.sheet import Formula, How, Placing
from benchbell.recipe.solids.shapes import SIDES, EdgeCut, Shape, TenonShape, solids_of
from benchbell.recipe.solids.solid import Solid, moved
from benchbell.recipe.solids.vectors import AXES, UNITS, Vec, bounds, dot, minus, vec

PAIRS = ("over", "clear", "centres")
"""Words for a mirrored pair about the middle."""

UPWARDS = 0.1
"""A face that looks up at least so much is one that things rest on."""


class LaidPart(Struct, frozen=True):
    """One part where it lies. name: leg-1. part: its kind, leg. low, high: its bounds.

    grain, wide, thick: directions of its length, width and thickness; section: how far it goes along the latter two.
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
        f"{name}.{face}": (one.high if side else one.low)[axis] for name, one in named for face, (axis, side) in SIDES.items()
    }


def names_of(placing: Placing) -> list[str]:
    """The names of its copies."""
    return [f"{placing.part}-{n}" for n in range(1, placing.count + 1)] if placing.count > 1 else [placing.part]


def copies_of(placing: Placing, known: Mapping[str, float], laid: Sequence[LaidPart]) -> list[LaidPart]:
    """All copies of one part."""
    way = tuple(AXES.index(axis) for axis in placing.way)
    leans = [tan(radians(evaluate(placing.lean[axis], known))) if axis in placing.lean else 0.0 for axis in AXES[:2]]
    level = (hypot(1, leans[0]), hypot(1, leans[1]), 1 / hypot(1, *leans))  # a size, over the same square to the part
    extent = [0.0, 0.0, 0.0]
    for axis, formula in zip(way, placing.size, strict=True):
        extent[axis] = evaluate(formula, known) * level[axis]
    return [
        copy_of(placing, name, index_of(placing, n), extent, leans, level, known, laid)
        for n, name in enumerate(names_of(placing))
    ]


def index_of(placing: Placing, n: int) -> dict[str, int]:
    """Which of those that differ on each axis copy n is, counted from 0."""
    if placing.around:
        return {"x": int(n in (1, 2)), "y": int(n > 1)}
    index: dict[str, int] = {}
    for axis, many in placing.copies.items():
        index[axis], n = n % many, n // many
    return index


def copy_of(
    placing: Placing,
    name: str,
    index: Mapping[str, int],
    extent: Sequence[float],
    leans: Sequence[float],
    level: Sequence[float],
    known: Mapping[str, float],
    laid: Sequence[LaidPart],
) -> LaidPart:
    """One copy: shaped as the first of its pair, leant, laid on what is bent, and mirrored."""
    low, mirrored = list(extent), [1.0, 1.0, 1.0]
    for axis, words in enumerate((placing.x, placing.y, placing.z)):
        n = index.get(AXES[axis], 0)
        if not words:
            low[axis] = 0.0 if axis == 2 else -extent[axis] / 2
            continue
        how, formula = words[n if len(words) > 1 else 0]
        low[axis] = lower_face(how, evaluate(formula, known), extent[axis], n, placing.copies.get(AXES[axis], 1))
        mirrored[axis] = -1.0 if how in PAIRS and n else 1.0
    shape = shape_of(placing, name, vec(low), extent, level, known)
    bed = next((one for one in laid if one.name == placing.rests), None)
    slope = slope_on(bed, shape) if bed else None

    def place(point: Vec) -> Vec:
        x, y, z = point
        if slope:
            x, y, z = slope.laid(point)
        x += outwards(shape, 0) * leans[0] * (shape.high[2] - z)
        y += outwards(shape, 1) * leans[1] * (shape.high[2] - z)
        return (x * mirrored[0], y * mirrored[1], z)

    changed = bool(slope or any(leans) or min(mirrored) < 0)
    solids = tuple(moved(solid, place) if changed else solid for solid in solids_of(shape))
    return laid_part(name, placing.part, solids, shape, [minus(place(axis), place((0.0, 0.0, 0.0))) for axis in UNITS])


def laid_part(name: str, part: str, solids: tuple[Solid, ...], shape: Shape, axes: Sequence[Vec]) -> LaidPart:
    """A part with its bounds and directions. axes: what the axes became when it was moved."""
    low, high = bounds(point for solid in solids for point in (solid.low, solid.high))
    grain, wide, thick = (axes[axis] for axis in shape.way)
    section = (shape.high[shape.way[1]] - shape.low[shape.way[1]], shape.high[shape.way[2]] - shape.low[shape.way[2]])
    return LaidPart(name, part, solids, low, high, grain, wide, thick, section)


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


def shape_of(
    placing: Placing, name: str, low: Vec, extent: Sequence[float], level: Sequence[float], known: Mapping[str, float]
) -> Shape:
    """What the part is made from, in mm. level: by axis, a level size over the same size square to the part."""
    length, width, thickness = way = tuple(AXES.index(axis) for axis in placing.way)
    high = vec([a + b for a, b in zip(low, extent, strict=True)])

    def size(formula: Formula, axis: int, otherwise: float) -> float:
        return evaluate(formula, known) * level[axis] if formula else otherwise

    tenon = placing.tenon and TenonShape(
        size(placing.tenon.long, length, 0.0),
        size(placing.tenon.thick, thickness, extent[thickness]),
        size(placing.tenon.wide, width, extent[width]),
        size(placing.tenon.up, width, 0.0),
        placing.tenon.end,
    )
    cuts = tuple(
        EdgeCut(one.edge, {axis: size(far, AXES.index(axis), 0.0) for axis, far in one.by.items()}) for one in placing.off
    )
    tip = size(placing.round, thickness, 0.0) / extent[thickness] if placing.round else None
    return Shape(name, low, high, way, tenon, cuts, tip, size(placing.bow, thickness, 0.0))


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


"""The cutting list: for each kind of part how many to cut, how large at first and at last, and of what.

Rough sizes are the finished ones and what is cut away later: written as `over`, or else the usual.
"""

from collections.abc import Collection, Mapping, Sequence
from math import ceil

from msgspec import Struct
from msgspec.structs import replace

from benchbell.recipe.as_built import dependents
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.formula import names_in
from benchbell.recipe.measure import LENGTH, Units, show
from benchbell.recipe.named_sizes import FormulaScope, checked_formula
from benchbell.recipe.pieces import PartIndex, title_of
from benchbell.recipe.placing import Placing
from benchbell.recipe.sheet import MEASURES, Measure, Part, Size
from benchbell.recipe.stock import CutListRow
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.trimming import trimmed_of
from benchbell.recipe.written import OverText, PartText, Recipe
from benchbell.trade.lengths import MM_PER_INCH
from benchbell.trade.timber import MaterialKind, hardwood_for

USUAL_OVER: dict[MaterialKind, dict[Units, tuple[float, float, float]]] = {
    "solid": {"mm": (25, 6, 0), "in": (MM_PER_INCH, MM_PER_INCH / 4, 0)},
    "sheet": {"mm": (10, 10, 0), "in": (MM_PER_INCH * 3 / 8, MM_PER_INCH * 3 / 8, 0)},
    "veneer": {"mm": (20, 20, 0), "in": (MM_PER_INCH * 3 / 4, MM_PER_INCH * 3 / 4, 0)},
    "other": {"mm": (0, 0, 0), "in": (0, 0, 0)},
}
"""By material and units, what is usually cut over length, width and thickness at first, in mm.

A leaf of veneer stands out over its ground all round, and is trimmed after pressing. Common practice, no source.
"""

ROUGH_STEP: dict[Units, float] = {"mm": 1.0, "in": MM_PER_INCH / 16}
"""By units, what rough sizes are rounded up to, in mm: nobody saws rough to a fraction of that."""

MATERIALS: dict[MaterialKind, int] = {"solid": 0, "sheet": 1, "veneer": 2, "other": 3}
"""The order of materials in the list."""

STANDARD = "hardwood "
"""How the nominal sizes begin by which sawn boards are sold."""

EDGES = {"one long": "one long edge lipped", "two long": "both long edges lipped", "all": "all edges lipped"}
"""By the recipe's word, the words for a note."""


BOARD = {"book": "opened like a book, from the board for the {}"}
BOARD |= dict.fromkeys(("", "sequence"), "from the board for the {}")
"""By the recipe's match, the words for a note."""


def cut_measures(part: Part) -> tuple[Measure, ...]:
    """The measures that are cut: not the thickness of sheets and veneer, and of other stock those that are written."""
    return MEASURES[: min(len(part.size), 2 if part.material in ("sheet", "veneer") else 3)]


class Bought(Struct, frozen=True):
    """A thickness as it is sold, such as 8/4. mm: before surfacing."""

    name: str
    mm: float


class OverPlace(Struct, frozen=True):
    """An `over` with the thing that it stands in, for findings, and its place in the file."""

    over: OverText
    thing: str
    path: Path


def cutting_list(
    recipe: Recipe,
    parts: Sequence[Part],
    index: PartIndex,
    sizes: Sequence[Size],
    scope: FormulaScope,
    findings: FindingList,
    placings: Sequence[Placing] = (),
) -> tuple[CutListRow, ...]:
    """A row for each part as written, by material, stock and thickness as bought, the thickest and longest first."""
    by_row: dict[int, list[Part]] = {}
    for part in parts:
        by_row.setdefault(index.row_and_copy[part.id][0], []).append(part)
    waiting = measured_sizes(recipe, sizes)
    rows = []
    for number, written in enumerate(recipe.part):
        if own := by_row.get(number):
            rough = rough_of(own[0], over_of(recipe, number, scope, findings), recipe.units)
            rows.append(with_trimmed(row_of(written, own, rough, waiting), own, placings, scope))
    return tuple(sorted(rows, key=rank))


def with_rows_of(
    rows: Sequence[CutListRow], others: Sequence[CutListRow], ids: Collection[str], pieces: str
) -> tuple[CutListRow, ...]:
    """The list with the parts `ids` as another list has them, in rows of their own where they differ.

    pieces: whose they are, "piece B", for the titles of those rows.
    """
    known = {replace(row, of=()) for row in rows}
    differing = [row for row in others if replace(row, of=()) not in known]
    own = [
        replace(row, title=f"{row.title}, {pieces}", of=tuple(id for id in row.of if id in ids)) for row in differing
    ]
    moved = {id for row in own for id in row.of}
    kept = [replace(row, of=tuple(id for id in row.of if id not in moved)) for row in rows]
    return tuple(sorted((row for row in (*kept, *own) if row.of), key=rank))


def rank(row: CutListRow) -> tuple[int, str, list[float]]:
    """Sort key of a row: solid wood first, then by stock, thickness as bought and size, large ones first."""
    return MATERIALS[row.material], row.stock, [-mm for mm in (row.bought_mm, *row.finished_mm)]


def row_of(
    written: PartText, parts: Sequence[Part], rough: Sequence[float], waiting: Sequence[tuple[str, tuple[str, ...]]]
) -> CutListRow:
    """One row. rough: the rough sizes in mm. waiting: measured sizes with all that depends on each."""
    finished = parts[0].plan_mm
    bought = thickness_as_bought(rough[2]) if written.material == "solid" and len(rough) == len(MEASURES) else None
    waits = {
        measure: [size for size, depending in waiting if names_in(formula).intersection(depending)]
        for measure, formula in zip(cut_measures(parts[0]), parts[0].size, strict=False)
    }
    return CutListRow(
        part=written.id,
        title=title_of(written),
        of=tuple(part.id for part in parts),
        stock=written.stock,
        material=written.material,
        finished_mm=finished,
        rough_mm=tuple(rough[:2]),
        bought=bought.name if bought else "",
        bought_mm=bought.mm if bought else finished[2] if len(finished) == len(MEASURES) else 0,
        grain=written.grain,
        note="; ".join(notes(written, waits)),
    )


def rough_of(part: Part, over: Sequence[float], units: Units) -> tuple[float, ...]:
    """The rough sizes in mm: where something is cut over size, length and width as they are sawn."""
    sizes = zip(MEASURES, part.plan_mm, over, strict=False)
    return tuple(
        sawn_mm(mm + more, units) if more and measure != "thickness" else mm + more for measure, mm, more in sizes
    )


def sawn_mm(mm: float, units: Units) -> float:
    """A rough length or width rounded up to ROUGH_STEP, in mm."""
    step = ROUGH_STEP[units]
    return ceil(round(mm / step, 6)) * step


def with_trimmed(
    row: CutListRow, parts: Sequence[Part], placings: Sequence[Placing], scope: FormulaScope
) -> CutListRow:
    """The row with what its parts become in the finished piece, where that is something else than what is cut."""
    of_one_piece = [part for part in parts if part.piece == parts[0].piece]
    found = trimmed_of(of_one_piece, placings, scope.plan)
    if found is None:
        return row
    return replace(row, trimmed_mm=found.mm, trimmed_count=found.count * len(parts) // len(of_one_piece))


def notes(written: PartText, waits: Mapping[Measure, Sequence[str]]) -> list[str]:
    """What else to know before cutting: the maker's note, pairs, lipped edges, and sizes that wait to be measured."""
    by_sizes: dict[str, list[str]] = {}
    for measure, sizes in waits.items():
        if sizes:
            by_sizes.setdefault(" and ".join(sizes).replace("_", " "), []).append(measure)
    return [
        *([written.note] if written.note else []),
        *(["left and right, mirrored"] if written.pair else []),
        *([BOARD[written.match].format(written.board.replace("-", " "))] if written.board else []),
        *([EDGES[written.edges]] if written.edges else []),
        *(f"cut to {' and '.join(measures)} only after measuring {sizes}" for sizes, measures in by_sizes.items()),
    ]


def depending_on_measured(recipe: Recipe, sizes: Sequence[Size]) -> frozenset[str]:
    """The names of all sizes that are measured or depend on a measured one."""
    return frozenset(name for _, names in measured_sizes(recipe, sizes) for name in names)


def measured_sizes(recipe: Recipe, sizes: Sequence[Size]) -> list[tuple[str, tuple[str, ...]]]:
    """Each size that an operation measures, with the names of all sizes that depend on it, its own first."""
    measured = {name for op in recipe.operation for name in op.measure}
    return [(size.name, dependents(size.name, sizes, (), ()).sizes) for size in sizes if size.name in measured]


def over_of(recipe: Recipe, row: int, scope: FormulaScope, findings: FindingList) -> tuple[float, ...]:
    """What is cut over length, width and thickness of a part, in mm: as it says, as the recipe says, or the usual."""
    written = recipe.part[row]
    usual = USUAL_OVER[written.material][recipe.units]
    own = OverPlace(written.over, f"Part {written.id}", ("part", row, "over"))
    places = [own, OverPlace(recipe.over, "The recipe", ("over",))] if written.material == "solid" else [own]
    return tuple(
        next((mm for place in places if (mm := over_mm(place, measure, scope, findings)) is not None), usual[n])
        for n, measure in enumerate(MEASURES)
    )


def over_mm(place: OverPlace, measure: Measure, scope: FormulaScope, findings: FindingList) -> float | None:
    """One measure of an `over`, in mm; None where it is not written, and with a finding when it is wrong."""
    text, path = getattr(place.over, measure), place.path
    about = f"{place.thing}: {measure} over size"
    checked = checked_formula(text, scope, path, about, findings, LENGTH) if text else None
    if checked is not None and checked.plan < 0:
        what = f"{about} would be {show(checked.plan, LENGTH, scope.units)}."
        findings.error("no-size", path, what, "Correct it: it must be 0 or above.")
        return None
    return None if checked is None else checked.plan


def thickness_as_bought(thickness_mm: float) -> Bought | None:
    """The least thickness as sold that is no thinner after surfacing; None when all are thinner."""
    row = hardwood_for(thickness_mm)
    return None if row is None else Bought(row.id.removeprefix(STANDARD), row.nominal_in * MM_PER_INCH)

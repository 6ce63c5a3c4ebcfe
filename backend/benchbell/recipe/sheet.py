"""The sheet: a compiled build, for the phone, the plan, the labels and the log.

Ids: a part of piece A is "A/leg-2", an assembly "A/frame", an operation "A/glue-frame". What is done once for the
whole build has no piece: "cut-sheets". Lengths are in mm, angles in degrees, clock times in whole milliseconds,
attended time in minutes. A sheet never changes: what happens later is in `bench`.
"""

from typing import Literal, get_args

from msgspec import Struct

from benchbell.findings import Finding
from benchbell.recipe.placing import Placing
from benchbell.recipe.stock import CutListRow, Item, Material
from benchbell.trade.figure_grid import FigureGrid
from benchbell.trade.timber import MaterialKind

Formula = tuple[float | str, ...]
"""Postfix: numbers, operators and functions by name, named sizes as "@name". See recipe/formula.py."""

DimName = str
"""The kind of a formula's value: recipe.measure.Dim.name."""

ClockKind = Literal["open", "squeeze-out", "in-clamps", "rest", "pot", "wipe-off", "recoat", "cure", "rags"]

Figure = Literal["open", "assembly", "pot", "clamp", "stressed_clamp", "machine"]
"""A column of a glue's FigureGrid, without its "_ms"."""


Measure = Literal["length", "width", "thickness"]
"""A measure of a part: along the grain, across it, through the thickness."""

MEASURES: tuple[Measure, ...] = get_args(Measure)

SizeStage = Literal["rough", "finished", "told"]
"""How far an operation brings a size: cut over size, or to the finished size; or only told there, as none is known to
make it."""
ChoiceKind = Literal["size", "count", "yes-no", "one-of"]


class Choice(Struct, frozen=True):
    """What is asked when a build begins, and what was chosen, as texts: "18 in", "2", "yes", "white oak".

    dim: a size's kind. least, most, step: bounds of a size or count, "" without. among: the texts it may be.
    by_piece: what was chosen for a piece instead, by its letter.
    """

    name: str
    ask: str
    kind: ChoiceKind
    value: str
    dim: DimName = ""
    least: str = ""
    most: str = ""
    step: str = ""
    among: tuple[str, ...] = ()
    by_piece: dict[str, str] = {}


class Size(Struct, frozen=True):
    """A named size. plan: the drawing's value.

    measure: how to measure it at the bench, "" when it is only computed. within: tolerance from the plan, or None.
    least, most: bounds, or None; what comes after the measuring waits until the value is within them.
    once: one value for the whole build, not one for each piece. line: in the recipe, 0 when unknown.
    """

    name: str
    dim: DimName
    formula: Formula
    plan: float
    measure: str = ""
    within: float | None = None
    once: bool = False
    line: int = 0
    least: float | None = None
    most: float | None = None


class Mate(Struct, frozen=True):
    """The part's `end` meets `at` of the part or assembly `to`."""

    end: str
    to: str
    at: str = ""


class Part(Struct, frozen=True):
    """One physical thing with a label.

    size: formulas of length along the grain, width and thickness; plan_mm: their planned values.
    material: what it is made of. place: where it goes in the piece. mark: face or orientation mark.
    """

    id: str
    piece: str
    name: str
    title: str
    stock: str
    material: MaterialKind
    size: tuple[Formula, ...]
    plan_mm: tuple[float, ...]
    grain: str = ""
    place: str = ""
    mark: str = ""
    mates: tuple[Mate, ...] = ()


class Assembly(Struct, frozen=True):
    """Parts or assemblies joined into one thing with a label. of: their ids. by: id of the operation that makes it."""

    id: str
    piece: str
    name: str
    title: str
    of: tuple[str, ...]
    by: str
    place: str = ""


class Board(Struct, frozen=True):
    """Parts that come from one board, in the order in which they lie on it.

    id: "A/side-run" where each piece has its own. of: ids of the parts in order. match: "sequence": one after the other
    along the board; "book": two leaves from each length, resawn or sliced in turn, opened like a book. rough_mm:
    length, width and thickness that the board must have, saw cuts between the parts included. by: id of the operation
    before which the order is marked on it; "" when no operation works on its parts.
    """

    id: str
    piece: str
    name: str
    title: str
    match: Literal["sequence", "book"]
    of: tuple[str, ...]
    stock: str
    material: MaterialKind
    rough_mm: tuple[float, ...]
    by: str = ""


class SetValue(Struct, frozen=True):
    """One thing a station is set to."""

    name: str
    dim: DimName
    formula: Formula
    plan: float


class Setup(Struct, frozen=True):
    """What a station is set to. prove: how to prove it on scrap. needs: bits, jigs, fixtures.

    minutes: time to change over to it.
    """

    id: str
    station: str
    title: str
    set: tuple[SetValue, ...]
    minutes: float
    prove: str = ""
    needs: tuple[str, ...] = ()


class Fixture(Struct, frozen=True):
    """A form, press, jig or sled that work stands in; only so many pieces of work do at a time.

    id: "A/form" where each piece has its own, "form" where all pieces share it. of: ids of the parts and assemblies
    that it is, as many as there are of it; empty for one of the shop's. owned: its name among the shop's fixtures.
    """

    id: str
    piece: str
    name: str
    title: str
    of: tuple[str, ...] = ()
    owned: str = ""
    about: str = ""


class ClockSpec(Struct, frozen=True):
    """A time that runs during or after an operation.

    starts, ends: kinds of happening on the operation; any of `ends` stops it; empty when only time does.
    least_ms: the earliest, most_ms: the latest moment to go on, after the start; each may be None.
    figure: the column of the glue's grid that replaces least_ms (waits) or most_ms (deadlines) once the
    temperature and humidity at the bench are known; None when the figure is fixed.
    source: where the figure comes from, as text for a person.
    """

    kind: ClockKind
    starts: str
    ends: tuple[str, ...]
    least_ms: int | None
    most_ms: int | None
    source: str
    figure: Figure | None = None
    glue: str = ""


class ClockHold(Struct, frozen=True):
    """The operation may begin only when this clock of an earlier operation has run its least time."""

    operation: str
    clock: ClockKind


class ToSize(Struct, frozen=True):
    """Sizes that an operation makes. part: its name in the recipe, as in the cutting list."""

    part: str
    stage: SizeStage
    measures: tuple[Measure, ...]


class Operation(Struct, frozen=True):
    """One thing to do to some parts.

    minutes: attended in total, with setup_minutes to set up the station and each_minutes for each part.
    after: ids of operations that must be done first. holds: clocks that must be over first.
    clamps: count by kind. spread_minutes: planned time to spread and close a glue-up.
    breakable: may be interrupted at closing time. measure: names of sizes to measure. sizes: names of sizes to show.
    checks: what to look at before it counts as finished. line: in the recipe, 0 when unknown.
    to_size: the sizes of parts that it makes. sharpen: edges to sharpen after it, in sharpen_minutes of its minutes.
    fixtures: how many of each it holds, by fixture's id. held_until: id of the operation that frees them; "": it holds
    them until its clamps are off, or where it has no time in clamps, until it is done.
    """

    id: str
    piece: str
    name: str
    title: str
    do: tuple[str, ...]
    station: str
    setup: str | None
    parts: tuple[str, ...]
    makes: str | None
    after: tuple[str, ...]
    holds: tuple[ClockHold, ...]
    minutes: float
    setup_minutes: float
    each_minutes: float
    clocks: tuple[ClockSpec, ...]
    cautions: tuple[str, ...]
    checks: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    measure: tuple[str, ...] = ()
    sizes: tuple[str, ...] = ()
    glue: str = ""
    finish: str = ""
    spread_minutes: float | None = None
    clamps: dict[str, int] = {}
    fixtures: dict[str, int] = {}
    held_until: str = ""
    stressed: bool = False
    sharpen: tuple[str, ...] = ()
    sharpen_minutes: float = 0
    breakable: bool = False
    step: Literal["work", "glue-up", "dry-fit", "coat"] = "work"
    line: int = 0
    to_size: tuple[ToSize, ...] = ()


class Sheet(Struct, frozen=True):
    """The whole compiled build. operations: in an order that can be worked. cautions: texts by id.

    figures: by glue's id. placings: each after those whose faces it uses. hangs: it stands on no floor.
    findings: errors first; with an error, nothing may be built from the sheet.
    """

    recipe: str
    title: str
    about: str
    units: Literal["mm", "in"]
    pieces: tuple[str, ...]
    sizes: tuple[Size, ...]
    parts: tuple[Part, ...]
    assemblies: tuple[Assembly, ...]
    setups: tuple[Setup, ...]
    operations: tuple[Operation, ...]
    cautions: dict[str, str]
    figures: dict[str, FigureGrid]
    materials: tuple[Material, ...]
    hardware: tuple[Item, ...]
    findings: tuple[Finding, ...] = ()
    cutting_list: tuple[CutListRow, ...] = ()
    placings: tuple[Placing, ...] = ()
    hangs: bool = False
    choices: tuple[Choice, ...] = ()
    fixtures: tuple[Fixture, ...] = ()
    boards: tuple[Board, ...] = ()

    @property
    def asked_for(self) -> tuple[object, ...]:
        """What makes one build another: its recipe, its pieces and what was chosen."""
        return self.recipe, self.pieces, tuple((one.name, one.value, one.by_piece) for one in self.choices)

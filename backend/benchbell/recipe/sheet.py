"""A compiled build: what the compiler hands to the phone, the plan, the labels and the log.

Ids. A part of piece A is "A/leg-2", an assembly "A/frame", an operation "A/glue-frame"; what is done
once for the whole build has no piece: "cut-sheets". Lengths are mm, angles degrees, times in the shop
whole milliseconds, attended minutes plain minutes. Nothing here is ever changed: what happens later is
in `bench`.
"""

from typing import Literal

from msgspec import Struct

from benchbell.findings import Finding
from benchbell.trade.figure_grid import FigureGrid

Formula = tuple[float | str, ...]
"""Postfix: numbers, operators and functions by name, named sizes as "@name". See recipe/formula.py."""

DimName = str
"""What kind of thing a formula comes to: recipe.measure.Dim.name."""

ClockKind = Literal["open", "squeeze-out", "in-clamps", "rest", "pot", "wipe-off", "recoat", "cure", "rags"]

Figure = Literal["open", "assembly", "pot", "clamp", "stressed_clamp", "machine"]
"""A column of a glue's FigureGrid, without its "_ms"."""


class Size(Struct, frozen=True):
    """A named size. `plan` is the drawing's value.

    measure: how to take it at the bench, "" when it is only computed. within: how far it may be off, or None.
    once: one value for the whole build rather than one for each piece.
    """

    name: str
    dim: DimName
    formula: Formula
    plan: float
    measure: str = ""
    within: float | None = None
    once: bool = False
    line: int = 0


class Mate(Struct, frozen=True):
    """`end` of this part meets `at` of part or assembly `to`."""

    end: str
    to: str
    at: str = ""


class Part(Struct, frozen=True):
    """One physical thing with a label.

    size: length along the grain, width, thickness; each with its plan value in `plan_mm`.
    material: "solid", "sheet" or "other". place: where it goes. mark: face or orientation mark.
    """

    id: str
    piece: str
    name: str
    title: str
    stock: str
    material: Literal["solid", "sheet", "other"]
    size: tuple[Formula, ...]
    plan_mm: tuple[float, ...]
    grain: str = ""
    place: str = ""
    mark: str = ""
    mates: tuple[Mate, ...] = ()


class Assembly(Struct, frozen=True):
    """Several parts or assemblies joined into one, labelled too. `by` is the operation that makes it."""

    id: str
    piece: str
    name: str
    title: str
    of: tuple[str, ...]
    by: str
    place: str = ""


class SetValue(Struct, frozen=True):
    """One thing a station is set to."""

    name: str
    dim: DimName
    formula: Formula
    plan: float


class Setup(Struct, frozen=True):
    """What a station is set to, how to prove it on scrap, and what it needs (bit, jig, fixture).

    minutes: to change over to it.
    """

    id: str
    station: str
    title: str
    set: tuple[SetValue, ...]
    minutes: float
    prove: str = ""
    needs: tuple[str, ...] = ()


class ClockSpec(Struct, frozen=True):
    """A time that runs while, or after, an operation is done.

    starts, ends: kinds of happening on the operation; any of `ends` stops it, none when only time does.
    least_ms: may go on no sooner. most_ms: must go on no later. Either may be None.
    figure: the column of the glue's grid that replaces least_ms (waits) or most_ms (deadlines) once the
    temperature and humidity at the bench are known; None when the figure is fixed.
    source: which figure this is and where it comes from, for the person to read.
    """

    kind: ClockKind
    starts: str
    ends: tuple[str, ...]
    least_ms: int | None
    most_ms: int | None
    source: str
    figure: Figure | None = None
    glue: str = ""


class Hold(Struct, frozen=True):
    """The operation may not begin before this clock of an earlier one has run its least time."""

    operation: str
    clock: ClockKind


class Operation(Struct, frozen=True):
    """One thing to do to some parts.

    minutes: attended, in all; of them setup_minutes to set the station up and each_minutes for each part.
    after: ids of operations that must be done first. holds: clocks of theirs that must be over too.
    clamps: by kind, how many it takes; spread_minutes: planned time to spread and close, for glue-ups.
    breakable: may be left at closing time. measure: names of sizes to take here.
    sizes: names of sizes worth showing. checks: what to look at before it counts as finished.
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
    holds: tuple[Hold, ...]
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
    stressed: bool = False
    breakable: bool = False
    step: Literal["work", "glue-up", "dry-fit", "coat"] = "work"
    line: int = 0


class Material(Struct, frozen=True):
    """One row of the cut summary: how much of a stock the build takes, allowance included.

    unit: "board feet", "m²" or "mm". parts: how many pieces of it.
    """

    stock: str
    material: Literal["solid", "sheet", "other"]
    amount: float
    unit: str
    cubic_m: float
    parts: int
    allowance_percent: float


class Item(Struct, frozen=True):
    """Something to have at hand: hardware or a consumable, with how many for the whole build."""

    name: str
    count: float
    unit: str = ""


class Sheet(Struct, frozen=True):
    """The whole compiled build. Operations stand in an order that can be worked."""

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

"""The builds of the month: many glue-ups and coats each, with every kind of clock."""

from alerts.sample import COAT, GLUE, operation
from benchbell.durations import MINUTE_MS
from benchbell.recipe.sheet import ClockHold, Sheet
from benchbell.trade.figure_grid import FigureGrid
from msgspec.structs import replace

COLD_BELOW = 15
WARM_MS, COLD_MS = 60 * MINUTE_MS, 120 * MINUTE_MS
"""In clamps at 15 °C and above, and below."""

ROWS = tuple((COLD_MS if celsius < COLD_BELOW else WARM_MS,) for celsius in range(46))
GRID = FigureGrid(0, (100,), ROWS, ROWS, None, ROWS, ROWS, ROWS)


def specs(clocks):
    """The same clocks, with the time in clamps taken from the air."""
    return tuple(replace(c, figure="clamp", glue="white") if c.kind == "in-clamps" else c for c in clocks)


def names(glues, coats):
    """Operations of a build: (id, its clocks, what it waits for)."""
    yield from ((f"glue-{n}", specs(GLUE), ()) for n in range(glues))
    for n in range(coats):
        yield f"coat-{n}", COAT, ()
        yield f"second-{n}", (), (ClockHold(f"coat-{n}", "recoat"),)


def sheet_of(glues, coats):
    """A build with so many glue-ups, and so many surfaces that are coated twice."""
    operations = tuple(replace(operation(id, id, clocks, ()), holds=holds) for id, clocks, holds in names(glues, coats))
    return Sheet(
        recipe="month.toml", title="Month", about="", units="mm", pieces=("A",), sizes=(), parts=(), assemblies=(),
        setups=(), operations=operations, cautions={}, figures={"white": GRID}, materials=(), hardware=(),
    )  # fmt: skip

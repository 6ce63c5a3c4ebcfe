"""A glue's figures for every whole degree: a phone looks up exactly what the server computes."""

from collections.abc import Callable
from functools import partial

from msgspec import Struct

from benchbell.trade.air import LEAST_CELSIUS, MOST_CELSIUS
from benchbell.trade.cure_factors import bands
from benchbell.trade.glue import Deadline, Glue, Wait, deadline_ms, wait_ms

Rows = tuple[tuple[int | None, ...], ...]


class FigureGrid(Struct, frozen=True):
    """A glue's figures in whole milliseconds, for every whole degree from celsius_from to 45.

    Row: degrees minus celsius_from, rounded down for a wait (clamp, stressed_clamp, machine), up for a deadline (open,
    assembly, pot). Column: the first of `bands` that is not below the relative humidity in percent.
    None: too cold for this glue. Between two degrees the wait's cell decides that, since its row is rounded down.
    pot_ms: None when the glue is not mixed.
    """

    celsius_from: int
    bands: tuple[int, ...]
    open_ms: Rows
    assembly_ms: Rows
    pot_ms: Rows | None
    clamp_ms: Rows
    stressed_clamp_ms: Rows
    machine_ms: Rows


def figure_grid(glue: Glue) -> FigureGrid:
    """The figure grid of a glue."""
    return FigureGrid(
        celsius_from=LEAST_CELSIUS,
        bands=bands(glue.sets_by),
        open_ms=deadline_rows(glue, "open_minutes"),
        assembly_ms=deadline_rows(glue, "assembly_minutes"),
        pot_ms=None if glue.pot_minutes is None else deadline_rows(glue, "pot_minutes"),
        clamp_ms=wait_rows(glue, "clamp_minutes"),
        stressed_clamp_ms=wait_rows(glue, "stressed_clamp_minutes"),
        machine_ms=wait_rows(glue, "machine_minutes"),
    )


def least_celsius(grid: FigureGrid) -> int:
    """The first whole degree for which a glue has figures, in °C."""
    return grid.celsius_from + next(n for n, row in enumerate(grid.clamp_ms) if row[0] is not None)


def rows_of(glue: Glue, ms_at: Callable[[float, float], int]) -> Rows:
    """One figure for every degree and band. ms_at: from °C and percent to milliseconds, called where not too cold."""
    return tuple(
        tuple(ms_at(celsius, edge) if celsius >= glue.least_celsius else None for edge in bands(glue.sets_by))
        for celsius in range(LEAST_CELSIUS, MOST_CELSIUS + 1)
    )


def deadline_rows(glue: Glue, figure: Deadline) -> Rows:
    """A deadline in ms for every degree and band."""
    return rows_of(glue, partial(deadline_ms, glue, figure))


def wait_rows(glue: Glue, figure: Wait) -> Rows:
    """A wait in ms for every degree and band."""
    return rows_of(glue, partial(wait_ms, glue, figure))

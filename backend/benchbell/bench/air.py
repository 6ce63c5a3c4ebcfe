"""The air at the bench, and how long a clock takes in it. Moments are server time in whole ms.

Twin: pwa/src/bench/air.ts.
"""

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from math import ceil, floor

from msgspec import Struct

from benchbell.bench.state import OperationState
from benchbell.durations import HOUR_MS
from benchbell.recipe.sheet import ClockSpec
from benchbell.trade.figure_grid import FigureGrid, Rows

USUAL_HUMIDITY = 50
"""Percent, taken for granted where only the temperature was read."""

STALE = 12 * HOUR_MS
"""A reading older than this, before the glue went on, is not to be trusted. Common practice, no source."""

Air = tuple[float | None, float | None]
"""°C and percent; None where nobody looked."""


class Reading(Struct, frozen=True):
    """Air at the bench at a moment. humidity: percent, None where it was not taken."""

    ms: int
    celsius: float
    humidity: float | None = None


class Reckoned(Struct, frozen=True):
    """A clock's time in ms, whether it was too cold for that to prove anything, and the air it was taken from.

    old_reading: nobody read the air in the STALE time before the start, nor since; so it is the careful one of two
    times, the planned and the one by the reading before.
    """

    ms: int
    too_cold: bool
    celsius: float | None
    humidity: float | None
    old_reading: bool


def is_old(reading: Reading, started: int) -> bool:
    """Whether a reading is too old to go by for what starts at `started`, in ms."""
    return reading.ms < started - STALE


def is_wait(spec: ClockSpec) -> bool:
    """Whether the clock tells when one may go on, rather than by when one must."""
    return spec.least_ms is not None


def reckoned(
    figures: Mapping[str, FigureGrid], spec: ClockSpec, state: OperationState, readings: Sequence[Reading], now: int
) -> Reckoned:
    """The clock's time by the air from its start until now, or until it was over: later air changes nothing.

    The first reading after the start takes the place of an old one.
    """
    started = state.marks[spec.starts]
    air, old = air_at_start(state, readings, started)
    old = old and grid_rows(figures, spec) is not None
    ms, too_cold = time_of(figures, spec, *air)
    if old:
        ms = (max if is_wait(spec) else min)(ms, planned(spec))
    first, end = (bisect_right(readings, at, key=moment_of) for at in (started, now))
    for reading in readings[first:end]:
        if reading.ms >= started + ms and not (too_cold and is_wait(spec)):
            break
        air, old = worse_air(spec, (None, None) if old else air, reading), False
        ms, too_cold = time_of(figures, spec, *air)
    return Reckoned(ms, too_cold, *air, old)


def moment_of(reading: Reading) -> int:
    """When it was taken."""
    return reading.ms


def air_at_start(state: OperationState, readings: Sequence[Reading], started: int) -> tuple[Air, bool]:
    """What was read when the glue or coat went on, else the last reading before the clock started; whether it is old.

    An old reading adds nothing to what was read as the glue went on.
    """
    n = bisect_right(readings, started, key=moment_of)
    last = readings[n - 1] if n else None
    old = last is not None and is_old(last, started)
    if state.celsius is not None and old:
        return (state.celsius, state.humidity), False
    celsius = state.celsius if state.celsius is not None else last.celsius if last else None
    humidity = state.humidity if state.humidity is not None else last.humidity if last else None
    return (celsius, humidity), old


def worse_air(spec: ClockSpec, air: Air, reading: Reading) -> Air:
    """For a wait the colder and the damper of both, for a deadline the warmer and the drier."""
    colder, damper = (min, max) if is_wait(spec) else (max, min)
    celsius = [c for c in (air[0], reading.celsius) if c is not None]
    humidity = [h for h in (air[1], reading.humidity) if h is not None]
    return colder(celsius), damper(humidity, default=None)


def time_of(
    figures: Mapping[str, FigureGrid], spec: ClockSpec, celsius: float | None, humidity: float | None
) -> tuple[int, bool]:
    """The clock's time in ms, and whether it was too cold for that to prove anything.

    The planned figure where it does not depend on the air, or no reading was taken.
    """
    rows = grid_rows(figures, spec)
    if rows is None or celsius is None:
        return planned(spec), False
    grid = figures[spec.glue]
    row = row_of(rows, (floor if is_wait(spec) else ceil)(celsius) - grid.celsius_from)
    return (planned(spec), True) if row is None else (row[column_of(grid, humidity)] or planned(spec), False)


def planned(spec: ClockSpec) -> int:
    """The clock's time as planned, in ms."""
    return spec.least_ms if spec.least_ms is not None else spec.most_ms or 0


def grid_rows(figures: Mapping[str, FigureGrid], spec: ClockSpec) -> Rows | None:
    """The clock's figures by temperature and humidity; None where its time does not depend on the air."""
    return None if spec.figure is None else getattr(figures[spec.glue], f"{spec.figure}_ms")


def column_of(grid: FigureGrid, humidity: float | None) -> int:
    """The grid's column for this air; that of usual air where nobody read it."""
    percent = USUAL_HUMIDITY if humidity is None else humidity
    return next((n for n, edge in enumerate(grid.bands) if percent <= edge), len(grid.bands) - 1)


def row_of(rows: Rows, number: int) -> tuple[int | None, ...] | None:
    """A row of the grid; None where it is too cold. Hotter than the grid goes is taken as its last row."""
    if number < 0:
        return None
    row = rows[min(number, len(rows) - 1)]
    return None if row[0] is None else row

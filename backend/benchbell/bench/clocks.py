"""Which clocks run at a moment, what is due, and what should ring. Moments are server time in whole ms.

Twin: pwa/src/bench/clocks.ts.
"""

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from math import ceil, floor
from typing import Literal

from msgspec import Struct

from benchbell.bench.state import Bench, OperationState
from benchbell.recipe.sheet import ClockKind, ClockSpec, Operation, Sheet
from benchbell.trade.grid import FigureGrid, Rows

Phase = Literal["running", "due", "late"]

MINUTE = 60_000

USUAL_HUMIDITY = 50
"""Percent, taken for granted where only the temperature was read."""

STALE = 12 * 60 * MINUTE
"""A reading older than this, before the glue went on, says nothing about it. Common practice, no source."""

RINGS: dict[str, tuple[tuple[str, str, int], ...]] = {
    "open": (
        ("half", "middle", 0),
        ("two-minutes", "most", -2 * MINUTE),
        ("last", "most", -MINUTE // 2),
        ("over", "most", 0),
    ),
    "squeeze-out": (("pare", "least", 0),),
    "in-clamps": (("off", "least", 0),),
    "rest": (("rested", "least", 0),),
    "pot": (("two-minutes", "most", -2 * MINUTE), ("over", "most", 0)),
    "wipe-off": (("wipe", "least", 0), ("over", "most", 0)),
    "recoat": (("recoat", "least", 0), ("closing", "most", -60 * MINUTE), ("over", "most", 0)),
    "cure": (("cured", "least", 0),),
    "rags": (("rags", "least", 0), *((f"again-{n}", "least", n * 30 * MINUTE) for n in range(1, 9))),
}  # fmt: skip
"""By kind of clock: each ring's name, the moment it is counted from, and how many ms off that.

Rags ring again every half hour, heard or not, until they are safe.
"""


Air = tuple[float | None, float | None]
"""°C and percent; None where nobody looked."""


class Reading(Struct, frozen=True):
    """Air at the bench at a moment. humidity: percent, None where it was not taken."""

    ms: int
    celsius: float
    humidity: float | None = None


class Clock(Struct, frozen=True):
    """A running clock.

    least: the moment from which to go on, None where there is none. most: the moment by which to go on.
    phase: "running" until something is to be done, "due" while it may be done, "late" when the deadline has passed.
    celsius, humidity: the readings its time was taken from; None where the planned figure stands.
    too_cold: colder since it started than the glue's least temperature, so its time proves nothing. Such a wait is
    never due, and rings "too-cold".
    """

    operation: str
    kind: ClockKind
    started: int
    least: int | None
    most: int | None
    phase: Phase
    celsius: float | None = None
    humidity: float | None = None
    too_cold: bool = False


class Ring(Struct, frozen=True):
    """Something to ring once: name is unique on its operation, "in-clamps|off|1700000000000"."""

    operation: str
    kind: ClockKind
    stage: str
    name: str
    at: int


class Reckoned(Struct, frozen=True):
    """A clock's time in ms, whether it was too cold for that to prove anything, and the air it was taken from."""

    ms: int
    too_cold: bool
    celsius: float | None
    humidity: float | None


def clocks(sheet: Sheet, bench: Bench, readings: Sequence[Reading], now: int) -> list[Clock]:
    """Every clock that runs, or is due, at `now`: soonest moment first. readings: earliest first."""
    begun = begun_after(sheet, bench)
    running = [
        clock
        for op in sheet.operations
        for spec in op.clocks
        if (clock := clock_of(sheet.figures, op, spec, bench.operations[op.id], readings, now, begun)) is not None
    ]
    return sorted(running, key=lambda c: (moment(c), c.operation, c.kind))


def moment(clock: Clock) -> int:
    """When the clock next wants something: the end of its wait, or its deadline."""
    if clock.phase == "running" and clock.least is not None:
        return clock.least
    return clock.most if clock.most is not None else clock.least or clock.started


def begun_after(sheet: Sheet, bench: Bench) -> dict[str, bool]:
    """By "operation|clock", for clocks that hold others back: whether all of those have begun."""
    begun: dict[str, bool] = {}
    for op in sheet.operations:
        for hold in op.holds:
            key = f"{hold.operation}|{hold.clock}"
            begun[key] = begun.get(key, True) and bool(bench.operations[op.id].marks)
    return begun


def clock_of(
    figures: Mapping[str, FigureGrid],
    op: Operation,
    spec: ClockSpec,
    state: OperationState,
    readings: Sequence[Reading],
    now: int,
    begun: Mapping[str, bool],
) -> Clock | None:
    """The clock, when it has started and not ended."""
    if spec.starts not in state.marks or is_ended(op, spec, state, begun):
        return None
    started = state.marks[spec.starts]
    time = reckoned(figures, spec, state, readings, now)
    least = started + time.ms + state.lengthened.get(spec.kind, 0) if is_wait(spec) else None
    most = started + time.ms if not is_wait(spec) else None if spec.most_ms is None else started + spec.most_ms
    if is_over(op, spec, state, least, begun, now):
        return None
    phase = "running" if time.too_cold and is_wait(spec) else phase_at(least, most, now)
    return Clock(op.id, spec.kind, started, least, most, phase, time.celsius, time.humidity, time.too_cold)


def is_wait(spec: ClockSpec) -> bool:
    """Whether the clock tells when one may go on, rather than by when one must."""
    return spec.least_ms is not None


def is_over(
    op: Operation, spec: ClockSpec, state: OperationState, least: int | None, begun: Mapping[str, bool], now: int
) -> bool:
    """A clock that no mark ends and nothing waits for is over once its ring was heard."""
    waited_for = f"{op.id}|{spec.kind}" in begun
    return not spec.ends and not waited_for and least is not None and now >= least and is_heard(spec, state)


def is_ended(op: Operation, spec: ClockSpec, state: OperationState, begun: Mapping[str, bool]) -> bool:
    """Ended by a mark of its own, or, where it has none, by what waited for it having begun.

    A mere deadline is over with its operation.
    """
    if spec.ends:
        ends = spec.ends if is_wait(spec) else (*spec.ends, "finished")
        return any(state.marks.get(kind, -1) >= state.marks[spec.starts] for kind in ends)
    return begun.get(f"{op.id}|{spec.kind}", False)


def is_heard(spec: ClockSpec, state: OperationState) -> bool:
    """Whether the clock's ring was acknowledged since it started."""
    return any(
        ring.startswith(f"{spec.kind}|") and ring.endswith(f"|{state.marks[spec.starts]}") for ring in state.heard
    )


def phase_at(least: int | None, most: int | None, now: int) -> Phase:
    """Where the moment stands between the end of the wait and the deadline."""
    if most is not None and now >= most:
        return "late"
    return "due" if least is not None and now >= least else "running"


def reckoned(
    figures: Mapping[str, FigureGrid], spec: ClockSpec, state: OperationState, readings: Sequence[Reading], now: int
) -> Reckoned:
    """The clock's time by the air from its start until now, or until it was over: later air changes nothing."""
    started = state.marks[spec.starts]
    air = air_at_start(state, readings, started)
    ms, too_cold = time_of(figures, spec, *air)
    first, end = (bisect_right(readings, at, key=moment_of) for at in (started, now))
    for reading in readings[first:end]:
        if reading.ms >= started + ms and not (too_cold and is_wait(spec)):
            break
        air = worse_air(spec, air, reading)
        ms, too_cold = time_of(figures, spec, *air)
    return Reckoned(ms, too_cold, *air)


def moment_of(reading: Reading) -> int:
    """When it was taken."""
    return reading.ms


def air_at_start(state: OperationState, readings: Sequence[Reading], started: int) -> Air:
    """What was read when the glue or coat went on, else the last reading before the clock started."""
    n = bisect_right(readings, started, key=moment_of)
    last = readings[n - 1] if n and readings[n - 1].ms >= started - STALE else None
    celsius = state.celsius if state.celsius is not None else last.celsius if last else None
    humidity = state.humidity if state.humidity is not None else last.humidity if last else None
    return celsius, humidity


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

    The planned figure where it does not hang on the air, or nobody took a reading.
    """
    planned = spec.least_ms if spec.least_ms is not None else spec.most_ms or 0
    if spec.figure is None or celsius is None:
        return planned, False
    grid = figures[spec.glue]
    rows: Rows | None = getattr(grid, f"{spec.figure}_ms")
    if rows is None:
        return planned, False
    row = row_of(rows, (floor if is_wait(spec) else ceil)(celsius) - grid.celsius_from)
    return (planned, True) if row is None else (row[column_of(grid, humidity)] or planned, False)


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


def rings(clock: Clock) -> list[Ring]:
    """All that the clock rings for, earliest first, whether past or to come."""
    found = []
    for stage, edge, off in RINGS[clock.kind]:
        at = edge_of(clock, edge)
        if at is not None and (at + off > begins(clock) or not off):
            told = "too-cold" if clock.too_cold and edge == "least" else stage
            found.append(Ring(clock.operation, clock.kind, told, f"{clock.kind}|{told}|{clock.started}", at + off))
    return sorted(found, key=lambda ring: ring.at)


def begins(clock: Clock) -> int:
    """From when on it may warn of its deadline: once there is something to be done."""
    return clock.started if clock.least is None else clock.least


def edge_of(clock: Clock, edge: str) -> int | None:
    """The moment a ring is counted from."""
    if edge == "middle":
        return None if clock.most is None else clock.started + (clock.most - clock.started) // 2
    return clock.least if edge == "least" else clock.most


def ringing(bench: Bench, running: Sequence[Clock], now: int) -> list[Ring]:
    """What should be ringing: of each clock the latest ring that is due, unless it was heard."""
    due = []
    for clock in running:
        passed = [ring for ring in rings(clock) if ring.at <= now]
        if passed and passed[-1].name not in bench.operations[clock.operation].heard:
            due.append(passed[-1])
    return sorted(due, key=lambda ring: (ring.at, ring.operation))


def held_by(op: Operation, running: Sequence[Clock], now: int) -> list[Clock]:
    """Clocks that keep this operation from beginning yet."""
    return [
        clock
        for clock in running
        for hold in op.holds
        if (hold.operation, hold.clock) == (clock.operation, clock.kind)
        and (clock.too_cold or (clock.least is not None and now < clock.least))
    ]

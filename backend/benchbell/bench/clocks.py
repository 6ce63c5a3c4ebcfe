"""Which clocks run at a moment, what is due, and what should ring. Moments are server time in whole ms."""

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
    "rags": (("rags", "least", 0),),
}  # fmt: skip
"""By kind of clock: each ring's name, the moment it is counted from, and how many ms off that."""


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
    too_cold: colder since it started than the glue's least temperature, so its time proves nothing.
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


def clocks(sheet: Sheet, bench: Bench, readings: Sequence[Reading], now: int) -> list[Clock]:
    """Every clock that runs, or is due, at `now`: soonest moment first."""
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
    celsius, humidity = air_since(spec, state, readings, started, now)
    ms, too_cold = time_of(figures, spec, celsius, humidity)
    least = started + ms + state.lengthened.get(spec.kind, 0) if is_wait(spec) else None
    most = started + ms if not is_wait(spec) else None if spec.most_ms is None else started + spec.most_ms
    if is_over(op, spec, state, least, begun, now):
        return None
    return Clock(op.id, spec.kind, started, least, most, phase_at(least, most, now), celsius, humidity, too_cold)


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
    """Ended by its own mark, or, where it has none, by what waited for it having begun."""
    if spec.ends:
        ends = state.marks.get(spec.ends)
        return ends is not None and ends >= state.marks[spec.starts]
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


def air_since(
    spec: ClockSpec, state: OperationState, readings: Sequence[Reading], since: int, now: int
) -> tuple[float | None, float | None]:
    """The air to reckon with, in °C and percent, from the glue or coat until now; None where nobody looked.

    For a wait the coldest and the dampest, for a deadline the warmest and the driest. What was read when the glue
    went on counts, else the last reading before it.
    """
    earlier = [r for r in readings if since - STALE <= r.ms <= since][-1:]
    during = [r for r in readings if since < r.ms <= now]
    seen = [*(Reading(since, c, None) for c in (state.celsius,) if c is not None), *during]
    celsius = [r.celsius for r in (seen if state.celsius is not None else (*earlier, *during))]
    damp = [r.humidity for r in during] + (
        [state.humidity] if state.humidity is not None else [r.humidity for r in earlier]
    )
    humidity = [h for h in damp if h is not None]
    if is_wait(spec):
        return min(celsius, default=None), max(humidity, default=None)
    return max(celsius, default=None), min(humidity, default=None)


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
    column = column_of(grid, humidity)
    found = row_of(getattr(grid, f"{spec.figure}_ms"), (floor if is_wait(spec) else ceil)(celsius) - grid.celsius_from)
    if found is None:
        return planned, True
    return found[column] or planned, False


def column_of(grid: FigureGrid, humidity: float | None) -> int:
    """The grid's column for this air; that of usual air where nobody read it."""
    percent = USUAL_HUMIDITY if humidity is None else humidity
    return next((n for n, edge in enumerate(grid.bands) if percent <= edge), len(grid.bands) - 1)


def row_of(rows: Rows | None, number: int) -> tuple[int | None, ...] | None:
    """A row of the grid; None where it is too cold. Hotter than the grid goes is taken as its last row."""
    if rows is None or number < 0:
        return None
    row = rows[min(number, len(rows) - 1)]
    return None if row[0] is None else row


def rings(clock: Clock) -> list[Ring]:
    """All that the clock rings for, earliest first, whether past or to come."""
    found = []
    for stage, edge, off in RINGS[clock.kind]:
        at = edge_of(clock, edge)
        if at is not None and at + off >= clock.started:
            name = f"{clock.kind}|{stage}|{clock.started}"
            found.append(Ring(clock.operation, clock.kind, stage, name, at + off))
    return sorted(found, key=lambda ring: ring.at)


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
        and clock.least is not None
        and now < clock.least
    ]

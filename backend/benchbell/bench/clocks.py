"""Which clocks run at a moment, what is due, and what should ring. Moments are server time in whole ms.

Twin: pwa/src/bench/clocks.ts.
"""

from collections.abc import Mapping, Sequence
from typing import Literal

from msgspec import Struct

from benchbell.bench.air import Reading, is_wait, reckoned
from benchbell.bench.clock_kinds import CLOCK_KINDS, TOO_COLD, Again, Edge, again_stage
from benchbell.bench.server_clock import Moment, ServerClock
from benchbell.bench.state import Bench, OperationState
from benchbell.durations import DAY_MS
from benchbell.recipe.sheet import ClockKind, ClockSpec, Operation, Sheet
from benchbell.trade.figure_grid import FigureGrid

Phase = Literal["running", "due", "late"]


class Clock(Struct, frozen=True):
    """A running clock.

    stamp: the ms of the stamp of its start, which names it. least: the moment from which to go on, None where there is
    none. most: the moment by which to go on.
    phase: "running" until something is to be done, "due" while it may be done, "late" when the deadline has passed.
    celsius, humidity: the readings its time was taken from; None where the planned figure stands.
    too_cold: colder since it started than the glue's least temperature, so its time proves nothing. Such a wait is
    never due, and rings "too-cold". server_clock: what became of the server's clock since it started. Where that is not
    known, `least` is the latest that it can be, and `most`, if it comes after that, the moment from which on it is not.
    old_reading: the air was not read in time, so this is the careful one of two times, the planned and the one by the
    old reading: the longer for a wait, the shorter for a deadline.
    """

    operation: str
    kind: ClockKind
    started: int
    stamp: int
    least: int | None
    most: int | None
    phase: Phase
    celsius: float | None = None
    humidity: float | None = None
    too_cold: bool = False
    server_clock: ServerClock = "steady"
    old_reading: bool = False


class Ring(Struct, frozen=True):
    """Something to ring once. name: its own on its operation, "in-clamps|off|1700000000000", by the clock's stamp."""

    operation: str
    kind: ClockKind
    stage: str
    name: str
    at: int


def clocks(sheet: Sheet, bench: Bench, readings: Sequence[Reading], now: int) -> list[Clock]:
    """Every clock that runs, or is due, at `now`: soonest moment first. readings: earliest first.

    Of a build put away unfinished only those that run on.
    """
    begun = begun_after(sheet, bench)
    running = [
        clock
        for op in sheet.operations
        for spec in op.clocks
        if not bench.closed or CLOCK_KINDS[spec.kind].reminder
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
    since = state.unsteady.get(spec.starts, Moment(started))
    if most is not None and since.unsure_ms is not None:
        most = min(most, max(started if least is None else least, since.unsure_ms))
    phase = "running" if time.too_cold and is_wait(spec) else phase_at(least, most, now)
    return Clock(
        operation=op.id,
        kind=spec.kind,
        started=started,
        stamp=state.stamps[spec.starts],
        least=least,
        most=most,
        phase=phase,
        celsius=time.celsius,
        humidity=time.humidity,
        too_cold=time.too_cold,
        server_clock=since.clock,
        old_reading=time.old_reading,
    )


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
        return any(state.stamps.get(kind, -1) >= state.stamps[spec.starts] for kind in ends)
    return begun.get(f"{op.id}|{spec.kind}", False)


def is_heard(spec: ClockSpec, state: OperationState) -> bool:
    """Whether the clock's ring was acknowledged since it started."""
    return any(
        ring.startswith(f"{spec.kind}|") and ring.endswith(f"|{state.stamps[spec.starts]}") for ring in state.heard
    )


def phase_at(least: int | None, most: int | None, now: int) -> Phase:
    """Where the moment stands between the end of the wait and the deadline."""
    if most is not None and now >= most:
        return "late"
    return "due" if least is not None and now >= least else "running"


def rings(clock: Clock, now: int) -> list[Ring]:
    """All that the clock rings for, earliest first, past or to come.

    Of repeats without end: those of the last day before `now`, and the next.
    """
    row = CLOCK_KINDS[clock.kind]
    found = []
    for one in row.rings:
        at = edge_of(clock, one.edge)
        if at is not None and (at + one.offset_ms > begins(clock) or not one.offset_ms):
            stage = TOO_COLD if clock.too_cold and one.edge == "least" else one.stage
            found.append(ring(clock, stage, at + one.offset_ms))
    if row.again is not None and clock.least is not None:
        found += repeats(clock, row.again, clock.least, now)
    return sorted(found, key=lambda one: one.at)


def ring(clock: Clock, stage: str, at: int) -> Ring:
    """One ring of the clock."""
    return Ring(clock.operation, clock.kind, stage, f"{clock.kind}|{stage}|{clock.stamp}", at)


def repeats(clock: Clock, again: Again, least: int, now: int) -> list[Ring]:
    """The rings after the last stage: the first repeats, then one after the other at the same distance."""
    moments = [least + offset for offset in again.offsets_ms]
    each, last, before = again.then_each_ms, moments[-1], len(moments)
    first, coming = max(1, (now - DAY_MS - last) // each), max(0, (now - last) // each) + 1
    numbered = [*enumerate(moments, 1), *((before + n, last + n * each) for n in range(first, coming + 1))]
    return [ring(clock, again_stage(number), at) for number, at in numbered]


def begins(clock: Clock) -> int:
    """From when on it may warn of its deadline: once there is something to be done."""
    return clock.started if clock.least is None else clock.least


def edge_of(clock: Clock, edge: Edge) -> int | None:
    """The moment a ring is counted from."""
    if edge == "middle":
        return None if clock.most is None else clock.started + (clock.most - clock.started) // 2
    return clock.least if edge == "least" else clock.most


def ringing(bench: Bench, running: Sequence[Clock], now: int) -> list[Ring]:
    """What should be ringing: of each clock the latest ring that is due, unless it was heard."""
    due = []
    for clock in running:
        passed = [one for one in rings(clock, now) if one.at <= now]
        if passed and passed[-1].name not in bench.operations[clock.operation].heard:
            due.append(passed[-1])
    return sorted(due, key=lambda one: (one.at, one.operation))


def held_by(op: Operation, running: Sequence[Clock], now: int) -> list[Clock]:
    """Clocks that keep this operation from beginning yet."""
    return [
        clock
        for clock in running
        for hold in op.holds
        if (hold.operation, hold.clock) == (clock.operation, clock.kind)
        and (clock.too_cold or (clock.least is not None and now < clock.least))
    ]

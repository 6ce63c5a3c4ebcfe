"""Which clocks run at a moment, what is due, and what should ring. Moments are server time in whole ms.

Twin: pwa/src/bench/clocks.ts.
"""

from collections.abc import Mapping, Sequence
from typing import Literal

from msgspec import Struct

from benchbell.bench.air import Reading, is_wait, reckoned
from benchbell.bench.state import Bench, OperationState
from benchbell.recipe.sheet import ClockKind, ClockSpec, Operation, Sheet
from benchbell.trade.figure_grid import FigureGrid

Phase = Literal["running", "due", "late"]

MINUTE = 60_000
HOUR = 60 * MINUTE
DAY = 24 * HOUR

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
    "rags": (
        ("rags", "least", 0),
        ("again-1", "least", HOUR // 2),
        ("again-2", "least", HOUR * 3 // 2),
        ("again-3", "least", HOUR * 7 // 2),
    ),
}
"""By kind of clock: each ring's name, the moment it is counted from, and how many ms off that."""

AGAIN_EACH: dict[str, int] = {"rags": 4 * HOUR}
"""Kinds that ring on after their last ring, each so many ms, heard or not, until they are ended.

Rags may take fire hours later: they ring again after half an hour, one, two and four hours, then every four.
"""

RINGS_WHEN_PUT_AWAY = "rags"
"""The one kind of clock that runs on when its build is put away unfinished: the rags are still there."""


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


def clocks(sheet: Sheet, bench: Bench, readings: Sequence[Reading], now: int) -> list[Clock]:
    """Every clock that runs, or is due, at `now`: soonest moment first. readings: earliest first.

    Of a build put away unfinished only those that run on.
    """
    begun = begun_after(sheet, bench)
    running = [
        clock
        for op in sheet.operations
        for spec in op.clocks
        if not bench.closed or spec.kind == RINGS_WHEN_PUT_AWAY
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


def rings(clock: Clock, now: int) -> list[Ring]:
    """All that the clock rings for, earliest first, whether past or to come.

    Of what rings on without end: that of the last day before `now`, and the next.
    """
    found = []
    for stage, edge, off in RINGS[clock.kind]:
        at = edge_of(clock, edge)
        if at is not None and (at + off > begins(clock) or not off):
            told = "too-cold" if clock.too_cold and edge == "least" else stage
            found.append(Ring(clock.operation, clock.kind, told, f"{clock.kind}|{told}|{clock.started}", at + off))
    found.sort(key=lambda ring: ring.at)
    return found + rings_again(clock, found[-1].at, now) if clock.kind in AGAIN_EACH else found


def rings_again(clock: Clock, last: int, now: int) -> list[Ring]:
    """What rings after `last`, the last of its stages, and again and again."""
    each, before = AGAIN_EACH[clock.kind], len(RINGS[clock.kind]) - 1
    first, coming = max(1, (now - DAY - last) // each), max(0, (now - last) // each) + 1
    stages = ((f"again-{before + n}", last + n * each) for n in range(first, coming + 1))
    return [
        Ring(clock.operation, clock.kind, stage, f"{clock.kind}|{stage}|{clock.started}", at) for stage, at in stages
    ]


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
        passed = [ring for ring in rings(clock, now) if ring.at <= now]
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

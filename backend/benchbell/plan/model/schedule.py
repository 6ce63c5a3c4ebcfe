"""A schedule of a compiled problem: when each operation is done, what the schedule is worth, and the plan it makes."""

from bisect import bisect_left
from collections.abc import Sequence

from msgspec import Struct

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.craft_faults import Fault, craft_faults
from benchbell.plan.model.problem import Objective, Placed, Plan

Rank = tuple[int, int, int, int, int, int]
"""What schedules are compared by, less is better: operations not placed, then the objective."""


class Schedule(Struct):
    """Operations by number. order: as they are taken up. start, end: by operation, of the attended work, in minutes.

    finish: end of the last operation, its run included. changes: of setups. lateness: minutes past the latest starts
    that the generation was given, summed; it guides the search. unplaced: how many operations could not be placed,
    for want of clamps or of hours. hand: by operation, whose it is; None where all hands are alike.
    """

    order: list[int]
    start: list[int]
    end: list[int]
    finish: int
    changes: int
    lateness: int = 0
    unplaced: int = 0
    hand: list[int] | None = None


def faults_in(compiled: CompiledProblem, schedule: Schedule) -> list[Fault]:
    """The faults of craft in a schedule in which every operation is placed; none where craft does not count."""
    if compiled.craft is None:
        return []
    return craft_faults(compiled, compiled.craft, schedule.order, schedule.start, schedule.end)


def objective(compiled: CompiledProblem, schedule: Schedule, faults: Sequence[Fault] | None = None) -> Objective:
    """What a schedule in which every operation is placed is judged by. faults: `faults_in` it, where they are known."""
    end, runs = schedule.end, compiled.runs
    late = sum(piece.weight * max(0, max(end[i] + runs[i] for i in piece.ops) - piece.due) for piece in compiled.pieces)
    day = bisect_left(compiled.mornings, schedule.finish)
    faults = faults_in(compiled, schedule) if faults is None else faults
    cost = schedule.finish + sum([cost for _, cost, _ in faults])
    return overrun_of(compiled, schedule), late, day, cost, schedule.changes


def overrun_of(compiled: CompiledProblem, schedule: Schedule) -> int:
    """Minutes by which maximal lags and latest starts are exceeded."""
    start, end = schedule.start, schedule.end
    overrun = sum(max(0, start[x.after] - end[x.before] - x.most) for x in compiled.max_lags)
    return overrun + sum(max(0, start[i] - by) for i, by in compiled.by.items())


def rank(compiled: CompiledProblem, schedule: Schedule, faults: Sequence[Fault] | None = None) -> Rank:
    """What the schedule is compared by; overrun and tardiness count only once every operation is placed.

    faults: as in `objective`.
    """
    if schedule.unplaced:
        return schedule.unplaced, 0, 0, 0, schedule.finish, schedule.changes
    return 0, *objective(compiled, schedule, faults)


def setups_before(compiled: CompiledProblem, order: list[int]) -> list[int]:
    """By operation, the minutes of setting up before it in this order."""
    standing = compiled.standing.copy()
    found = [0] * len(order)
    for i in order:
        station = compiled.station[i]
        if station >= 0:
            found[i] = compiled.setup_minutes[station][standing[station]][compiled.setup[i]]
            if compiled.setup[i] >= 0:
                standing[station] = compiled.setup[i]
    return found


def plan_of(compiled: CompiledProblem, schedule: Schedule, bound: int) -> Plan:
    """The schedule as a plan. bound: a lower bound on the finish of any plan."""
    setting = setups_before(compiled, schedule.order)
    start, end, hand = schedule.start, schedule.end, schedule.hand
    placed = tuple(
        Placed(
            compiled.ids[i],
            start[i] - setting[i],
            start[i],
            end[i],
            end[i] + compiled.runs[i],
            None if hand is None else hand[i],
        )
        for i in schedule.order
    )
    overrun, late, day, cost, changes = objective(compiled, schedule)
    finish = schedule.finish
    return Plan(placed, finish, changes, overrun, late, min(bound, finish), cost - finish, day)


def schedule_of(compiled: CompiledProblem, plan: Plan) -> Schedule:
    """The plan as a schedule. Raises KeyError where the plan names an operation that the problem does not have."""
    order = order_of(compiled, plan)
    start, end = [0] * len(compiled.ids), [0] * len(compiled.ids)
    for i, placed in zip(order, plan.placed, strict=True):
        start[i], end[i] = placed.start, placed.end
    hand = {i: placed.hand for i, placed in zip(order, plan.placed, strict=True) if placed.hand is not None}
    hands = [hand[i] for i in range(len(order))] if hand else None
    return Schedule(order, start, end, plan.finish, plan.changes, hand=hands)


def order_of(compiled: CompiledProblem, plan: Plan) -> list[int]:
    """The plan's operations by number, as they are taken up. Raises KeyError for one that the problem does not have."""
    number = {id: n for n, id in enumerate(compiled.ids)}
    return [number[placed.op] for placed in plan.placed]

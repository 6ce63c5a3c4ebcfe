"""Early unclamping: clamps come off, and squeeze-out is cleaned, as soon as they may, where that makes nothing worse.

The objective does not care how long clamps stay on, but a maker does: whoever is at the bench takes them off.
"""

from collections.abc import Iterable

from benchbell.plan.model.compiled_problem import CompiledProblem, compile_problem
from benchbell.plan.model.craft_faults import craft_faults
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.model.schedule import Schedule, objective, order_of, plan_of
from benchbell.plan.search.serial_generation import generate_serial

PLACED = 80_000
"""Operations that are placed again in all, so that a large shop waits no longer than a small one."""

TRIES = 4
"""Places in the order that are tried for each operation, the earliest first."""

TRIES_LATE = 40
"""The same for one that is later than wanted."""


def unclamped_early(problem: Problem, plan: Plan, acts: Iterable[str]) -> Plan:
    """The plan with these operations moved to the earliest place that makes the objective no worse.

    Those that are later than wanted come first; in a large shop the last are left where they are.
    A plan for several pairs of hands is left as it is, and so is one with a delay that its order does not explain.
    """
    if problem.hands > 1:
        return plan
    compiled = compile_problem(problem)
    schedule = generate_serial(compiled, order_of(compiled, plan))
    if schedule is None or objective(compiled, schedule) > plan.objective:
        return plan
    number = {id: n for n, id in enumerate(compiled.ids)}
    late = late_acts(compiled, schedule)
    left = PLACED // max(1, len(compiled.ids))
    for i in sorted((number[id] for id in acts), key=lambda i: i not in late):
        if left <= 0:
            break
        schedule, used = moved_up(compiled, schedule, i, min(left, TRIES_LATE if i in late else TRIES))
        left -= used
    return plan_of(compiled, schedule, plan.bound)


def late_acts(compiled: CompiledProblem, schedule: Schedule) -> frozenset[int]:
    """The operations that begin later than wanted."""
    if compiled.craft is None:
        return frozenset()
    faults = craft_faults(compiled, compiled.craft, schedule.order, schedule.start, schedule.end)
    return frozenset(i for kind, _, i in faults if kind == "late act")


def moved_up(compiled: CompiledProblem, schedule: Schedule, i: int, tries: int) -> tuple[Schedule, int]:
    """The schedule with operation `i` as early in the order as makes the objective no worse, and the tries used."""
    order, place = schedule.order, schedule.order.index(i)
    ready = max((schedule.end[before] + lag for before, lag in compiled.predecessors[i]), default=0)
    later = (n for n in range(place) if schedule.start[order[n]] >= max(ready, compiled.ready[i]))
    used = 0
    for used, n in zip(range(1, tries + 1), later, strict=False):
        tried = generate_serial(compiled, [*order[:n], i, *order[n:place], *order[place + 1 :]])
        if tried and objective(compiled, tried) <= objective(compiled, schedule):
            return tried, used
    return schedule, used

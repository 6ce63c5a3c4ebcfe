"""Early unclamping: clamps come off, and squeeze-out is cleaned, as soon as they may, where that makes nothing worse.

The objective does not care how long clamps stay on, but a maker does: whoever is at the bench takes them off.
"""

from collections.abc import Iterable

from benchbell.plan.model.compiled_problem import CompiledProblem, compile_problem
from benchbell.plan.model.hands import as_alike, with_hands
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.model.schedule import Schedule, faults_in, objective, order_of, plan_of
from benchbell.plan.search.serial_generation import generate_serial

MOST_PLACED = 30_000
"""Operations that are placed in all tries together, at most: about a tenth of a second, whatever the size."""


def unclamped_early(problem: Problem, plan: Plan, acts: Iterable[str]) -> Plan:
    """The plan with these operations moved to the earliest place that makes the objective no worse.

    Those that are later than wanted come first; in a large shop the last are left where they are.
    A plan for several pairs of hands is left as it is, and so is one with a delay that its order does not explain.
    """
    if problem.hands > 1:
        return plan
    compiled = compile_problem(as_alike(problem))
    schedule = generate_serial(compiled, order_of(compiled, plan))
    if schedule is None or objective(compiled, schedule) > plan.objective:
        return plan
    number = {id: n for n, id in enumerate(compiled.ids)}
    late, start = late_acts(compiled, schedule), schedule.start
    first_on = sorted((number[id] for id in acts), key=lambda i: (i not in late, start[i]))
    tries_left = MOST_PLACED // max(1, len(compiled.ids))
    for n, i in enumerate(first_on):
        if tries_left <= 0:
            break
        schedule, tried = moved_up(compiled, schedule, i, max(1, tries_left // (len(first_on) - n)))
        tries_left -= tried
    return with_hands(problem, plan_of(compiled, schedule, plan.bound))


def late_acts(compiled: CompiledProblem, schedule: Schedule) -> frozenset[int]:
    """The operations that begin later than wanted."""
    return frozenset(i for kind, _, i in faults_in(compiled, schedule) if kind == "late act")


def moved_up(compiled: CompiledProblem, schedule: Schedule, i: int, most: int) -> tuple[Schedule, int]:
    """The schedule with operation `i` as early in the order as makes the objective no worse, and how many were tried.

    most: how many may be tried.
    """
    order, place = schedule.order, schedule.order.index(i)
    ready = max((schedule.end[before] + lag for before, lag in compiled.predecessors[i]), default=0)
    later = (n for n in range(place) if schedule.start[order[n]] >= max(ready, compiled.ready[i]))
    tries = 0
    for tries, n in zip(range(1, most + 1), later, strict=False):
        tried = generate_serial(compiled, [*order[:n], i, *order[n:place], *order[place + 1 :]])
        if tried and objective(compiled, tried) <= objective(compiled, schedule):
            return tried, tries
    return schedule, tries

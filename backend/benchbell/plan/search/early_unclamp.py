"""Clamps come off as soon as they may, where that costs nothing: nobody leaves them on to suit a plan."""

from collections.abc import Iterable

from benchbell.plan.model.compiled_problem import CompiledProblem, compile_problem
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.search.parallel_generation import Walk
from benchbell.plan.search.serial_generation import plan_of, timed, worth

TRIES = 4
"""Places in the order that are tried for each, from the soonest on."""


def tidied(problem: Problem, plan: Plan, soon: Iterable[str]) -> Plan:
    """The plan with these operations moved up to where they may first be done, unless anything gets worse by it."""
    if problem.hands > 1:
        return plan
    shop = compile_problem(problem)
    number = {id: n for n, id in enumerate(shop.ids)}
    walk = timed(shop, [number[placed.op] for placed in plan.placed])
    if walk is None or worth(shop, walk)[1:] > (plan.overrun, plan.late, plan.finish, plan.changes):
        return plan  # something in it waits longer than its order alone would have it wait
    for id in soon:
        walk = moved_up(shop, walk, number[id])
    return plan_of(shop, walk, plan.bound)


def moved_up(shop: CompiledProblem, walk: Walk, i: int) -> Walk:
    """The same with `i` taken up as soon as it may be, if that makes nothing worse."""
    order, place = walk.order, walk.order.index(i)
    may = max((walk.end[before] + gap for before, gap in shop.befores[i]), default=0)
    later = (n for n in range(place) if walk.start[order[n]] >= max(may, shop.ready[i]))
    for _, n in zip(range(TRIES), later, strict=False):
        tried = timed(shop, [*order[:n], i, *order[n:place], *order[place + 1 :]])
        if tried and worth(shop, tried) <= worth(shop, walk):
            return tried
    return walk

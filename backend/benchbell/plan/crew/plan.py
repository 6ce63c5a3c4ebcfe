"""Plans for several pairs of hands, each better than the one before.

The first comes at once from the parallel scheme. One pair of hands could do all the work alone, so plans for one pair
come next, and nothing worse comes out. Then the parallel scheme is searched, then orders of the relaxed project, and
last moves from the best order.
"""

from collections.abc import Iterator

from benchbell.findings import Refused
from benchbell.plan.crew.crew_generation import crew_of
from benchbell.plan.crew.order_search import OrderSearch
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.model.schedule import plan_of, schedule_of
from benchbell.plan.search.budget import Budget
from benchbell.plan.search.random import Random
from benchbell.plan.search.stability import is_clearly_better

ALONE = 0.85
"""Share of the budget that is left when the search for one pair of hands ends."""


def crew_plans(
    problem: Problem, alone: Iterator[Plan], budget: Budget, random: Random, before: Plan | None
) -> Iterator[Plan]:
    """Plans for the problem's hands. alone: plans for one pair of hands, each better than the one before.

    before: an earlier plan, kept until a new one is clearly better. Raises Refused where hours or clamps are too few.
    """
    search = OrderSearch(problem, crew_of(problem), budget, random)
    kept = search.kept_plan(before) if before else None
    if kept:
        yield kept
    for plan in better_plans(search, alone, kept):
        if kept is None or is_clearly_better(kept.objective, plan.objective):
            yield plan


def better_plans(search: OrderSearch, alone: Iterator[Plan], best: Plan | None) -> Iterator[Plan]:
    """Plans better than `best`, each better than the one before: one at once, some for one pair of hands, then for all.

    Raises Refused where hours or clamps are too few for either.
    """
    first = search.first_plan()
    if first and (best is None or first.objective < best.objective):
        best = first
        yield best
    refused = None
    try:
        if best is None or search.budget() > ALONE:
            for plan in alone:
                together = plan_of(search.compiled, schedule_of(search.compiled, plan), search.bound)
                if best is None or together.objective < best.objective:
                    best = together
                    yield best
    except Refused as reason:
        refused = reason
    for plan in search.plans(best):
        if best is None or plan.objective < best.objective:
            best = plan
            yield best
    if refused and best is None:
        raise refused

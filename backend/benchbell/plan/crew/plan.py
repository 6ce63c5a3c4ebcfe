"""Plans for several pairs of hands, each better than the one before.

One pair of hands could do it all: the best such plan is where this begins, and nothing worse comes of it. Then orders
come from the problem as a project, and last from small changes to the best order.
"""

from collections.abc import Iterator

from msgspec.structs import replace

from benchbell.findings import Refused
from benchbell.plan.crew.orders import Left, Orders
from benchbell.plan.crew.timing import crew_of
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.search.random import Random
from benchbell.plan.search.stability import Value, much_better

ALONE = 0.85
"""Share of the budget that is still left when plans for one pair of hands have had theirs."""


def part(left: Left, until: float) -> Left:
    """A budget of its own out of a greater one: spent when only so much of that is left."""
    return lambda: (left() - until) / (1 - until)


def crew_plans(
    problem: Problem, alone: Iterator[Plan], left: Left, chance: Random, before: Plan | None
) -> Iterator[Plan]:
    """alone: plans of the same problem for one pair of hands, each better than the one before.

    before: an earlier plan, whose order is kept until a new one is better by more than a little.
    """
    orders = Orders(problem, crew_of(problem), left, chance)
    kept = orders.as_before(before) if before else None
    if kept:
        yield kept
    for plan in better_plans(orders, alone, kept):
        if kept is None or much_better(value(kept), value(plan)):
            yield plan


def better_plans(orders: Orders, alone: Iterator[Plan], best: Plan | None) -> Iterator[Plan]:
    """Each better than the one before: for one pair of hands, then in other orders on all hands.

    Raises Refused where hours or clamps suffice for neither.
    """
    refused = None
    try:
        for plan in alone:
            if best is None or value(plan) < value(best):
                best = replace(plan, bound=orders.bound)
                yield best
    except Refused as reason:
        refused = reason
    for plan in orders.plans(best):
        if best is None or value(plan) < value(best):
            best = plan
            yield best
    if refused and best is None:
        raise refused


def value(plan: Plan) -> Value:
    """What plans are judged by."""
    return plan.overrun, plan.late, plan.finish, plan.changes

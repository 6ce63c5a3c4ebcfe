"""From a problem to better and better plans."""

from collections.abc import Callable, Iterator

from msgspec.structs import replace

from benchbell.plan.crew.plan import ALONE, crew_plans, part
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.search.local_search import Search
from benchbell.plan.search.random import Random
from benchbell.plan.search.serial_generation import plan_of
from benchbell.plan.search.stability import as_before, old_keys, worth_changing

Budget = Callable[[], float]
"""Share of the budget that is left: 1 at first, 0 or less when it is spent. Asked once for each plan tried."""


def tries(count: int) -> Budget:
    """A budget of so many plans tried, the same on every machine."""
    left = count

    def share() -> float:
        nonlocal left
        left -= 1
        return left / count

    return share


def plans_for(problem: Problem, budget: Budget, chance: Random, before: Plan | None = None) -> Iterator[Plan]:
    """Plans, each better than the one before; the first one comes at once.

    before: an earlier plan, whose order is kept until a new one is better by more than a little.
    Raises Refused where something cannot be planned at all: leave out what `impossible` names.
    """
    if problem.hands > 1:
        alone = plans_for(replace(problem, hands=1), part(budget, ALONE), chance)
        yield from crew_plans(problem, alone, budget, chance, before)
        return
    shop = compile_problem(problem)
    if not shop.ids:
        yield Plan((), problem.start, 0, bound=problem.start)
        return
    old = as_before(shop, before) if before else None
    search = Search(shop, budget, chance, old_keys(shop, before) if before else None)
    if old:
        yield plan_of(shop, old, search.bound)
    for seen in search.walks():
        if not old or worth_changing(shop, old, seen):
            yield plan_of(shop, seen, search.bound)


def plan_for(problem: Problem, budget: Budget, chance: Random, before: Plan | None = None) -> Plan:
    """The last and best of them."""
    *_, last = plans_for(problem, budget, chance, before)
    return last

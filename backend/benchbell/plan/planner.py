"""The planner's door: from a problem to plans, each better than the one before. `plan/__init__.py` explains how."""

from collections.abc import Iterator

from msgspec.structs import replace

from benchbell.plan.crew.plan import ALONE, crew_plans
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.hands import as_alike, differ, with_hands
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.model.schedule import plan_of
from benchbell.plan.search.budget import Budget, part_of
from benchbell.plan.search.local_search import Search
from benchbell.plan.search.random import Random
from benchbell.plan.search.stability import is_worth_changing, kept_schedule, values_of_plan


def plans_for(problem: Problem, budget: Budget, random: Random, before: Plan | None = None) -> Iterator[Plan]:
    """Plans, each better than the one before; the first comes at once.

    before: an earlier plan. It is kept, in the problem as it is now, until a new one is clearly better.
    Raises Refused if some operations cannot be planned: leave these out first, with `infeasible.feasible_part`.
    """
    if problem.crew and not differ(problem):
        for plan in plans_for(as_alike(problem), budget, random, before):
            yield with_hands(problem, plan)
        return
    if problem.hands > 1:
        alone = plans_for(replace(problem, hands=1, crew=()), part_of(budget, ALONE), random)
        yield from crew_plans(problem, alone, budget, random, before)
        return
    compiled = compile_problem(problem)
    if not compiled.ids:
        yield Plan((), problem.start, 0, bound=problem.start)
        return
    kept = kept_schedule(compiled, before) if before else None
    search = Search(compiled, budget, random, values_of_plan(compiled, before) if before else None)
    if kept:
        yield plan_of(compiled, kept, search.bound)
    for schedule in search.schedules():
        if not kept or is_worth_changing(compiled, kept, schedule):
            yield plan_of(compiled, schedule, search.bound)


def plan_for(problem: Problem, budget: Budget, random: Random, before: Plan | None = None) -> Plan:
    """The last of `plans_for`, and so the best. Raises Refused if some operations cannot be planned."""
    *_, last = plans_for(problem, budget, random, before)
    return last

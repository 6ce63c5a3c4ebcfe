"""The planner's door: from a problem to plans, each better than the one before. `plan/__init__.py` explains how."""

from collections.abc import Iterator

from msgspec.structs import replace

from benchbell.plan.crew.plan import ALONE, crew_plans
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.hands import as_alike, differ, with_hands
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.model.schedule import Schedule, plan_of
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
    if not problem.ops:
        yield Plan((), problem.start, 0, bound=problem.start)
        return
    yield from improvements(*search_of(problem, budget, random, before))


def search_of(problem: Problem, budget: Budget, random: Random, before: Plan | None) -> tuple[Search, Schedule | None]:
    """The search for one pair of hands, and the earlier plan in the problem as it is now; None where it has none."""
    compiled = compile_problem(problem)
    kept = kept_schedule(compiled, before) if before else None
    return Search(compiled, budget, random, values_of_plan(compiled, before) if before else None), kept


def improvements(search: Search, kept: Schedule | None) -> Iterator[Plan]:
    """The kept plan first, if there is one; then those that are better, or clearly better than it."""
    if kept:
        yield plan_of(search.compiled, kept, search.bound)
    for schedule in search.schedules():
        if not kept or is_worth_changing(search.compiled, kept, schedule):
            yield plan_of(search.compiled, schedule, search.bound)


def plan_for(problem: Problem, budget: Budget, random: Random, before: Plan | None = None) -> Plan:
    """The last of `plans_for`, and so the best. Raises Refused if some operations cannot be planned."""
    *_, last = plans_for(problem, budget, random, before)
    return last


def best_plans(problem: Problem, budget: Budget, random: Random, before: Plan | None = None) -> list[Plan]:
    """Plans to choose from: the earlier one, as far as it still holds, then the best that were found, best first.

    For several pairs of hands, the best alone. Raises Refused if some operations cannot be planned.
    """
    if problem.hands > 1 or not problem.ops:
        return [plan_for(problem, budget, random, before)]
    search, kept = search_of(problem, budget, random, before)
    for _ in search.schedules():
        pass
    found = ([kept] if kept else []) + [schedule for *_, schedule in search.pool]
    return [plan_of(search.compiled, schedule, search.bound) for schedule in found]

"""How good plans for several pairs of hands are, on the shipped recipes.

crew_over_bound_…_percent: finish over the plan's own proven bound, less 1, in minutes from the start, the mean of
CASES, after 250 ms and after 1 s. crew_open_over_bound_…: the same in open minutes. crew_differing_…: the same where
one may not use the machines that cut and shape, and is away every Wednesday (UNABLE). crew_budget_3000_s: what a budget
of 250 ms takes with some 3,000 operations; one schedule is generated whatever it takes. Seconds are CPU time of this
process. The checker judges every plan.
"""

from collections.abc import Iterator
from datetime import UTC
from functools import cache, partial
from pathlib import Path
from statistics import mean
from time import process_time

from benchbell.commands.plan import new_build, week
from benchbell.commands.recipe_files import compile_files
from benchbell.plan.model.check import faults
from benchbell.plan.model.hours import hours_of, open_minutes
from benchbell.plan.model.problem import Hand, Plan, Problem, Window
from benchbell.plan.planner import plan_for
from benchbell.plan.search.budget import within
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.random import Random
from benchbell.plan.tasks.from_builds import problem_from_builds
from benchbell.planner.shop_hours import stretches
from benchbell.recipe.shop_profile import ShopProfile
from msgspec.structs import replace

RECIPES = Path(__file__).parents[2] / "recipes"
NOW = 1_796_112_000_000
"""Tuesday, 2026-12-01, 08:00 UTC."""

CASES = (
    (("hall-bench", "bedside-table"), 2, 2),
    (("bedside-table",), 2, 2),
    (("garden-stool", "wall-cabinet"), 2, 2),
    (("hall-bench", "bedside-table"), 2, 3),
)
"""Recipes, pieces of each, pairs of hands."""


UNABLE = ("table saw", "band saw", "jointer", "planer", "router table", "mortiser")
"""What the second of two people may not use."""

MANY = (("bedside-table",), 26, 2)
"""Nearly 3,000 operations."""


def figures(everything: bool) -> Iterator[tuple[str, float]]:
    """Each figure by its name."""
    seeds = (1, 2, 3) if everything else (1,)
    for name, seconds in (("250ms", 0.25), ("1s", 1.0)):
        plans = [(case, planned(problem(*case), seconds, seed)[0]) for case in CASES for seed in seeds]
        yield f"crew_over_bound_{name}_percent", mean(100 * (plan.finish / plan.bound - 1) for _, plan in plans)
        yield (
            f"crew_open_over_bound_{name}_percent",
            mean(100 * over_bound(problem(*case), plan) for case, plan in plans),
        )
        two = [problem(*case) for case in CASES if case[2] == 2]
        differing = [(one, planned(differing_hands(one), seconds, seed)[0]) for one in two for seed in seeds]
        yield (
            f"crew_differing_over_bound_{name}_percent",
            mean(100 * (plan.finish / plan.bound - 1) for _, plan in differing),
        )
        yield (
            f"crew_differing_open_over_bound_{name}_percent",
            mean(100 * over_bound(one, plan) for one, plan in differing),
        )
    yield "crew_differing_budget_3000_s", planned(differing_hands(problem(*MANY)), 0.25, 1)[1]
    yield "crew_budget_3000_s", planned(problem(*MANY), 0.25, 1)[1]


@cache
def problem(recipes: tuple[str, ...], pieces: int, hands: int) -> Problem:
    """What is to be planned when these builds begin together."""
    sheets = compile_files([RECIPES / f"{name}.toml" for name in recipes], pieces, ShopProfile(), {})
    builds = [new_build(path.stem, sheet, NOW, path.stem) for path, sheet in sheets.items()]
    hours = partial(stretches, week("08:00-17:00", "mon-fri"), UTC, NOW)
    rest, unplanned = feasible_part(problem_from_builds(builds, hours, {}, NOW, hands).problem)
    assert not unplanned
    return rest


def differing_hands(problem: Problem) -> Problem:
    """The problem for two people, of whom the second is away on Wednesdays, and may not use everything."""
    midnight, day = 16 * 60, 24 * 60
    away = (Window(start, start + day) for start in range(midnight, problem.windows[-1].end, 7 * day))
    return replace(problem, crew=(Hand("first"), Hand("second", UNABLE, tuple(away))))


def planned(problem: Problem, seconds: float, seed: int) -> tuple[Plan, float]:
    """The plan after so many seconds, and the seconds it took; the checker must find no faults."""
    start = process_time()
    plan = plan_for(problem, within(seconds, process_time), Random(seed))
    taken = process_time() - start
    assert not faults(problem, plan), faults(problem, plan)
    return plan, taken


def over_bound(problem: Problem, plan: Plan) -> float:
    """Share of open minutes by which the plan finishes after its bound."""
    hours = hours_of(problem.windows, problem.start)
    return open_minutes(hours, plan.finish) / open_minutes(hours, plan.bound) - 1

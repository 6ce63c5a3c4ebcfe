"""A maker who follows the plan, in a shop with its own pace, and asks again after each task."""

from collections import namedtuple
from datetime import UTC
from random import Random

from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.odds.choice import chosen
from benchbell.plan.odds.pace import UNTIMED, learned
from benchbell.plan.odds.paced import at_pace
from benchbell.plan.odds.timings import kind_of
from benchbell.plan.planner import best_plans
from benchbell.plan.search.budget import tries
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.random import Random as Random32
from benchbell.plan.search.stability import MARGIN, kept_schedule
from benchbell.plan.tasks.from_builds import BuildsProblem, problem_from_builds
from benchbell.planner.shop_hours import read_hours, stretches
from msgspec.structs import replace
from plan.played import Played, some_recipes
from plan.shop_day import MINUTE, MONDAY, request_for
from plan.simulated_shop import PEOPLE, Shop

Step = namedtuple("Step", "build operation act")

THOUGHT = 60
"""Schedules tried for each plan."""

MOST_TASKS = 120
"""Tasks that are played of each build."""


def changes_without_gain(seed: int, is_paced: bool) -> tuple[int, int]:
    """How often the maker asked, and how often the next task was not the next of the plan before, for no better finish.

    is_paced: the planner knows the shop from three earlier builds.
    """
    names, pieces = some_recipes(Random(seed))
    shop, played = Shop(seed), Played(names, pieces, MONDAY)
    logged = [
        replace(one, build=one.build + build.id) for build in played.open() for one in shop.logged(build.sheet, 3)
    ]
    pace = learned(logged) if is_paced else UNTIMED
    luck = {build.id: shop.build_effect() for build in played.open()}
    before: Plan | None = None
    asked = changed = 0
    for _ in range(MOST_TASKS):
        source = source_at(played)
        problem = at_pace(source.problem, source.tasks, pace)
        plan = chosen(problem, source.tasks, best_plans(problem, tries(THOUGHT), Random32(1), before), pace)
        if not plan.placed:
            break
        if before is not None:
            asked += 1
            changed += is_changed_without_gain(problem, before, plan)
        do_first(played, source, plan, shop, luck)
        before = replace(plan, placed=plan.placed[1:])
    return asked, changed


def source_at(played: Played) -> BuildsProblem:
    """The problem at this moment."""
    builds = played.open()
    whole = problem_from_builds(builds, request_for(*builds, now=played.now).hours, {}, played.now)
    return replace(whole, problem=feasible_part(whole.problem)[0])


def is_changed_without_gain(problem: Problem, before: Plan, plan: Plan) -> bool:
    """Whether another task is next than in what is left of the plan before, though that is done no later."""
    left = {op.id for op in problem.ops}
    expected = next((placed.op for placed in before.placed if placed.op in left), None)
    if expected is None or expected == plan.placed[0].op:
        return False
    kept = kept_schedule(compile_problem(problem), before)
    return kept is not None and kept.finish - plan.finish < MARGIN


def do_first(played: Played, source: BuildsProblem, plan: Plan, shop: Shop, luck: dict[str, float]) -> None:
    """Do the plan's first task in the time that it takes in this shop, and what rings before it."""
    first = plan.placed[0]
    task = source.tasks[first.op]
    kind = kind_of(task.operation, task.act)
    real = max(1, round(shop.real(task.minutes, kind, PEOPLE[0], luck[task.build])))
    began = played.now + first.setup * MINUTE
    played.do_what_rings()
    played.now = max(played.now, open_at(began))
    ends = played.now + (first.start - first.setup + real) * MINUTE
    closes = stretches(read_hours(None), UTC, played.now, 1)[0][1]
    if ends > closes and task.operation.breakable:
        ends = open_at(closes) + ends - closes
    played.do(Step(task.build, task.operation.id, task.act), ends)
    played.now = open_at(played.now)


def open_at(ms: int) -> int:
    """The first moment from then on at which the shop is open."""
    return max(ms, stretches(read_hours(None), UTC, ms, 1)[0][0])

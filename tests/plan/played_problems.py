"""Problems as they come up while builds of shipped recipes are worked on: with begun work, clamps, waits and craft."""

from collections.abc import Iterator
from random import Random

from benchbell.bench.happenings import Began
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.planner import best_plans
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random as Random32
from benchbell.plan.tasks.task import Task
from plan.played import Played, some_recipes
from plan.replanned import do_first, source_at
from plan.shop_day import MINUTE, MONDAY
from plan.simulated_shop import Shop

THOUGHT = 5
"""Schedules tried before each task: enough to go on by."""


def played_problems(seed: int, tasks: int, every: int = 1) -> Iterator[Problem]:
    """The problem before each task, or before one of so many, of the first so many of a maker who follows the plan.

    Each that is given has its next task begun, wherever that is worked on by hand and not waited for.
    """
    played, shop = Played(*some_recipes(Random(seed)), MONDAY), Shop(seed)
    luck = {build.id: shop.build_effect() for build in played.open()}
    for n in range(tasks):
        source = source_at(played)
        if not source.problem.ops:
            break
        plan = quick_plan(source.problem, seed)
        if n % every == 0:
            begin(played, source.tasks[plan.placed[0].op])
            source = source_at(played)
            yield source.problem
            plan = quick_plan(source.problem, seed)
        do_first(played, source, plan, shop, luck)


def quick_plan(problem: Problem, seed: int) -> Plan:
    """A plan after a moment's thought."""
    return best_plans(problem, tries(THOUGHT), Random32(seed))[0]


def begin(played: Played, task: Task) -> None:
    """Take the task up, and be at it for a third of its time."""
    if task.act == "work":
        played.record(task.build, Began(task.operation.id))
        played.now += round(task.minutes / 3) * MINUTE

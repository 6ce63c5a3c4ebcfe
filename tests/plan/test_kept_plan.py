"""The plan that stands, taken from what was told of it, on the server and on the phone."""

from functools import cache
from random import Random

import msgspec
import pytest
from benchbell.plan.advise import advise
from benchbell.plan.kept_plan import kept_plan, standing_of
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Plan
from benchbell.plan.planner import best_plans
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random as Random32
from benchbell.plan.search.stability import values_of_plan
from msgspec.structs import replace
from plan.played import Played, some_recipes
from plan.replanned import do_first, source_at
from plan.shop_day import MINUTE, MONDAY, request_for
from plan.simulated_shop import Shop
from twins import ask_the_page

SHOPS = range(6)


@cache
def told_and_left(seed):
    """A plan as it was told and in minutes, and what is left when some of it is done: when, and the problem."""
    names, pieces = some_recipes(Random(seed))
    played = Played(names, pieces, MONDAY + seed * 11 * MINUTE)
    opened = played.open()
    told, plan, _ = advise(
        request_for(*opened, now=played.now), lambda problem: best_plans(problem, tries(60), Random32(1))
    )
    for _ in range(seed * 3):
        source = source_at(played)
        (next_plan, *_) = best_plans(source.problem, tries(1), Random32(1))
        do_first(played, source, next_plan, Shop(seed), {build.id: 0.0 for build in opened})
    return told, plan, played.now // MINUTE * MINUTE, source_at(played).problem


def on_the_phone(told, now):
    """The plan that the phone goes on from."""
    return msgspec.convert(ask_the_page("plan_kept_plan", told, now)["answer"], Plan)


@pytest.mark.parametrize("seed", SHOPS)
def test_the_phone_goes_on_from_the_servers_own_plan_minute_by_minute(seed):
    told, plan, _, problem = told_and_left(seed)
    compiled = compile_problem(problem)
    found = on_the_phone(told, told.made_at)

    assert found == kept_plan(told, told.made_at)
    assert [(one.op, one.start) for one in found.placed] == [(one.op, one.start) for one in plan.placed]
    assert found.finish == plan.finish
    assert values_of_plan(compiled, found) == values_of_plan(compiled, plan)


@pytest.mark.parametrize("seed", SHOPS)
def test_later_its_minutes_count_from_then(seed):
    told, plan, now, problem = told_and_left(seed)
    compiled = compile_problem(problem)
    passed, found = (now - told.made_at) // MINUTE, on_the_phone(told, now)
    starts = {placed.op: placed.start - passed for placed in plan.placed}
    values = values_of_plan(compiled, found)

    assert found == kept_plan(told, now)
    assert found.finish == plan.finish - passed
    assert [-starts[id] for id in compiled.ids] == values


def test_these_plans_are_gone_on_from_late_and_with_clamps_that_come_off_early():
    assert any(now > told.made_at for told, _, now, _ in map(told_and_left, SHOPS))
    assert any(step.act == "clamps-off" for told, *_ in map(told_and_left, SHOPS) for step in told.steps)


@pytest.mark.parametrize("seed", SHOPS)
def test_a_plan_that_keeps_to_an_earlier_one_is_gone_on_from_as_that_one_was_made(seed):
    told, _, now, _ = told_and_left(seed)
    later = replace(
        told, steps=told.steps[len(told.steps) // 2 :], finish=told.finish + MINUTE, stands=standing_of(told)
    )

    assert on_the_phone(later, now) == kept_plan(later, now) == kept_plan(told, now)
    assert standing_of(later) == standing_of(told)

"""Plans that the page makes by itself, from what it leaves out to the last plan, judged by the checker."""

import msgspec
import pytest
from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Plan, Problem
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.crews import crews
from plan.played_problems import played_problems
from plan.problems import problems
from plan.shop_data import NAMES, best_known, shop_problem
from twins import ask_the_page

seeds = st.integers(0, 1000)


def feasible_on_the_page(problem):
    """What the page thinks can be planned, and the ids of the rest."""
    rest, left_out = ask_the_page("plan_feasible", problem)["answer"]
    return msgspec.convert(rest, Problem), left_out


def plans_of_the_page(problem, count, seed, before=None):
    """The page's plans, each of which must be sound and better than the one before it."""
    plans = msgspec.convert(ask_the_page("plan_plans", problem, count, seed, before)["answer"], list[Plan])

    assert [faults(problem, plan) for plan in plans] == [[] for _ in plans]
    assert [plan.objective for plan in plans] == sorted({plan.objective for plan in plans}, reverse=True)
    return plans


@settings(max_examples=150)
@given(problems(), seeds)
def test_what_the_page_thinks_feasible_it_plans_soundly(problem, seed):
    rest, left_out = feasible_on_the_page(problem)
    plans_of_the_page(rest, 60, seed)

    assert {op.id for op in problem.ops} == {op.id for op in rest.ops} | set(left_out)


@settings(max_examples=100)
@given(problems(), crews(), seeds)
def test_the_page_plans_soundly_for_hands_that_differ(problem, crew, seed):
    rest, left_out = feasible_on_the_page(replace(problem, hands=len(crew), crew=crew))
    plans_of_the_page(rest, 30, seed)

    assert {op.id for op in problem.ops} == {op.id for op in rest.ops} | set(left_out)


@settings(max_examples=60)
@given(problems(), st.integers(2, 3), seeds)
def test_the_page_plans_soundly_for_several_hands(problem, hands, seed):
    rest, _ = feasible_on_the_page(replace(problem, hands=hands))
    plans_of_the_page(rest, 30, seed)


@pytest.mark.parametrize("name", NAMES[::3])
def test_the_page_plans_a_shop_soundly_and_not_below_the_proved_bound(name):
    *_, plan = plans_of_the_page(shop_problem(name), 60, 1)
    _, bound = best_known()[name]

    assert plan.finish >= max(plan.bound, bound)


def without_first(plan):
    """What is left of a plan when its first operation is done."""
    return replace(plan, placed=plan.placed[1:])


@pytest.mark.parametrize("hands", [1, 2])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_page_goes_on_from_its_last_plan_soundly(seed, hands):
    before = None
    for problem in played_problems(seed, tasks=24, every=4):
        rest, left_out = feasible_on_the_page(replace(problem, hands=hands))
        assert left_out == []
        *_, plan = plans_of_the_page(rest, 40, seed, before)
        before = without_first(plan)

"""Plans: sound by the independent checker, better and better, the same from the same seed, never later than need be."""

import pytest
from benchbell.findings import Refused
from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Op, Plan, Problem, Window
from benchbell.plan.planner import plan_for, plans_for, tries
from benchbell.plan.search.infeasible import possible
from benchbell.plan.search.random import Random
from hypothesis import given, settings
from hypothesis import strategies as st
from plan.problems import problems
from plan.shop_data import NAMES, best_known, shop_problem


def value(plan):
    return plan.overrun, plan.late, plan.finish, plan.changes


@settings(max_examples=300)
@given(problems(), st.integers(0, 1000))
def test_whatever_can_be_planned_is_planned_soundly_and_the_rest_is_told(problem, seed):
    rest, told = possible(problem)
    plans = list(plans_for(rest, tries(60), Random(seed)))

    assert {op.id for op in problem.ops} == {op.id for op in rest.ops} | {id for id, _ in told}
    assert [faults(rest, plan) for plan in plans] == [[] for _ in plans]
    assert [value(plan) for plan in plans] == sorted({value(plan) for plan in plans}, reverse=True)


@settings(max_examples=50)
@given(problems(), st.integers(0, 1000))
def test_the_same_seed_and_budget_make_the_same_plan(problem, seed):
    rest, _ = possible(problem)

    assert plan_for(rest, tries(60), Random(seed)) == plan_for(rest, tries(60), Random(seed))


@pytest.mark.parametrize("name", NAMES)
def test_a_shop_is_planned_soundly_and_not_before_what_is_proved(name):
    problem = shop_problem(name)
    plan = plan_for(problem, tries(60), Random(1))
    _, bound = best_known()[name]

    assert faults(problem, plan) == []
    assert plan.finish >= max(plan.bound, bound)


def test_with_nothing_to_do_the_plan_is_empty():
    problem = Problem(7, (Window(0, 10),), (), {}, ())

    assert plan_for(problem, tries(1), Random(1)) == Plan((), 7, 0, bound=7)


def test_what_cannot_be_planned_is_refused_with_what_to_do():
    problem = Problem(0, (Window(0, 10),), (), {}, (Op("a", 11),))

    with pytest.raises(Refused, match="Leave out what"):
        plan_for(problem, tries(1), Random(1))

"""Plans: sound by the independent checker, each better than the one before, the same for the same seed and budget."""

import pytest
from benchbell.findings import Refused
from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Op, Plan, Problem, Window
from benchbell.plan.planner import plan_for, plans_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.random import Random
from hypothesis import given, settings
from hypothesis import strategies as st
from plan.problems import problems
from plan.shop_data import NAMES, best_known, shop_problem


@settings(max_examples=300)
@given(problems(), st.integers(0, 1000))
def test_what_is_feasible_is_planned_soundly_and_the_rest_has_reasons(problem, seed):
    rest, reasons = feasible_part(problem)
    plans = list(plans_for(rest, tries(60), Random(seed)))

    assert {op.id for op in problem.ops} == {op.id for op in rest.ops} | {id for id, *_ in reasons}
    assert [faults(rest, plan) for plan in plans] == [[] for _ in plans]
    assert [plan.objective for plan in plans] == sorted({plan.objective for plan in plans}, reverse=True)


@settings(max_examples=50)
@given(problems(), st.integers(0, 1000))
def test_the_same_seed_and_budget_make_the_same_plan(problem, seed):
    rest, _ = feasible_part(problem)

    assert plan_for(rest, tries(60), Random(seed)) == plan_for(rest, tries(60), Random(seed))


@pytest.mark.parametrize("name", NAMES)
def test_a_shop_is_planned_soundly_and_not_below_the_proved_bound(name):
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

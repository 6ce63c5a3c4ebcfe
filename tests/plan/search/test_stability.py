"""Stability: a plan is kept unless another is clearly better."""

from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Op, Placed, Plan, Problem, Window
from benchbell.plan.planner import plan_for, plans_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.random import Random
from benchbell.plan.search.stability import FEWER_CHANGES, MARGIN, is_clearly_better
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.problems import problems
from plan.shop_data import shop_problem


def order(plan):
    return [placed.op for placed in plan.placed]


def test_only_a_difference_of_the_margin_is_clearly_better():
    old = (0, 0, 0, 1000, 5)

    assert not is_clearly_better(old, (0, 0, 0, 1000 - MARGIN + 1, 5))
    assert is_clearly_better(old, (0, 0, 0, 1000 - MARGIN, 50))
    assert is_clearly_better(old, (0, 0, 0, 1000, 5 - FEWER_CHANGES))
    assert not is_clearly_better(old, (0, MARGIN, 0, 1, 0))
    assert is_clearly_better((0, 0, 1, 1000, 5), (0, 0, 0, 1001, 9))
    assert is_clearly_better((MARGIN, 0, 1, 1000, 5), (0, 9999, 0, 9999, 9))


def test_after_a_delay_only_what_no_longer_fits_before_closing_moves():
    """In exactly the old order, each job that no longer fits would cost a night, and the finish would be days later."""
    problem = shop_problem("shop01")
    plan = plan_for(problem, tries(400), Random(2))
    later = replace(problem, start=problem.start + MARGIN)
    kept = plan_for(later, tries(400), Random(2), before=plan)
    moved = [a for a, b in zip(order(plan), order(kept), strict=True) if a != b]

    assert faults(later, kept) == []
    assert kept.finish == plan.finish
    assert len(moved) <= 8


def test_done_operations_leave_and_new_ones_find_their_place():
    ops = (Op("a", 30), Op("b", 30), Op("c", 30))
    before = Plan(tuple(Placed(id, at, at, at + 30, at + 30) for id, at in (("c", 0), ("a", 30), ("b", 60))), 90, 0)
    problem = Problem(30, (Window(0, 300),), (), {}, (*ops[:2], Op("new", 10)))
    new = plan_for(problem, tries(100), Random(1), before)

    assert [id for id in order(new) if id != "new"] == ["a", "b"]
    assert new.finish == 100


@settings(max_examples=100)
@given(problems(cycles=False), st.integers(0, 60))
def test_the_earlier_plan_is_kept_or_clearly_beaten(problem, minutes):
    rest, _ = feasible_part(problem)
    old = plan_for(rest, tries(30), Random(1))
    rest, _ = feasible_part(replace(rest, start=rest.start + minutes))
    kept, *others = plans_for(rest, tries(60), Random(2), before=old)

    assert faults(rest, kept) == []
    for plan in others:
        assert faults(rest, plan) == []
        assert is_clearly_better(kept.objective, plan.objective)

"""A plan stays as it is unless another is better by more than a little."""

from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Op, Placed, Plan, Problem, Window
from benchbell.plan.planner import plan_for, plans_for, tries
from benchbell.plan.search.infeasible import possible
from benchbell.plan.search.random import Random
from benchbell.plan.search.stability import FEW, LITTLE, much_better
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.problems import problems
from plan.shop_data import shop_problem


def order(plan):
    return [placed.op for placed in plan.placed]


def test_a_little_sooner_is_not_worth_a_change_and_more_is():
    old = (0, 0, 1000, 5)

    assert not much_better(old, (0, 0, 1000 - LITTLE + 1, 5))
    assert much_better(old, (0, 0, 1000 - LITTLE, 50))
    assert much_better(old, (0, 0, 1000, 5 - FEW))
    assert not much_better(old, (0, LITTLE, 1, 0))
    assert much_better((LITTLE, 0, 1000, 5), (0, 9999, 9999, 9))


def test_a_job_that_takes_longer_than_thought_moves_what_no_longer_fits_before_closing_and_nothing_else():
    """In its very order the plan would lose a night with each job that no longer fits: it would finish days later."""
    problem = shop_problem("shop01")
    plan = plan_for(problem, tries(400), Random(1))
    later = replace(problem, start=problem.start + LITTLE)
    kept = plan_for(later, tries(400), Random(2), before=plan)
    moved = [a for a, b in zip(order(plan), order(kept), strict=True) if a != b]

    assert faults(later, kept) == []
    assert kept.finish == plan.finish
    assert len(moved) <= 8


def test_what_is_done_goes_and_what_is_new_finds_its_place():
    ops = (Op("a", 30), Op("b", 30), Op("c", 30))
    before = Plan(tuple(Placed(id, at, at, at + 30, at + 30) for id, at in (("c", 0), ("a", 30), ("b", 60))), 90, 0)
    problem = Problem(30, (Window(0, 300),), (), {}, (*ops[:2], Op("new", 10)))
    new = plan_for(problem, tries(100), Random(1), before)

    assert [id for id in order(new) if id != "new"] == ["a", "b"]
    assert new.finish == 100


@settings(max_examples=100)
@given(problems(circles=False), st.integers(0, 60))
def test_the_plan_before_is_kept_or_clearly_beaten(problem, minutes):
    rest, _ = possible(problem)
    old = plan_for(rest, tries(30), Random(1))
    rest, _ = possible(replace(rest, start=rest.start + minutes))
    kept, *others = plans_for(rest, tries(60), Random(2), before=old)

    assert faults(rest, kept) == []
    for plan in others:
        assert faults(rest, plan) == []
        was, now = ((p.overrun, p.late, p.finish, p.changes) for p in (kept, plan))
        assert much_better(was, now)

"""Clamps come off when they may, at no cost."""

from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Hold, Link, Op, Placed, Plan, Problem, Window
from benchbell.plan.planner import plan_for, tries
from benchbell.plan.search.early_unclamp import tidied
from benchbell.plan.search.infeasible import possible
from benchbell.plan.search.random import Random
from hypothesis import given, settings
from plan.problems import problems

DAY = (Window(0, 540), Window(1440, 1980))


def test_clamps_left_on_without_need_come_off_as_soon_as_they_may():
    ops = (Op("glue", 10), Op("off", 5), Op("saw", 100), Op("plane", 50), Op("sand", 50))
    problem = Problem(
        0, DAY, (), {"bar": 2}, ops, (Link("glue", "off", 60), Link("saw", "plane"), Link("plane", "sand")),
        (Hold("bar", 2, "glue", "off"),),
    )  # fmt: skip
    late = Plan(
        (
            Placed("glue", 0, 0, 10, 10),
            Placed("saw", 10, 10, 110, 110),
            Placed("plane", 110, 110, 160, 160),
            Placed("sand", 160, 160, 210, 210),
            Placed("off", 210, 210, 215, 215),
        ),
        215, 0,
    )  # fmt: skip
    plan = tidied(problem, late, ["off"])

    assert [one.op for one in plan.placed] == ["glue", "saw", "off", "plane", "sand"]
    assert plan.finish == late.finish
    assert faults(problem, plan) == []


@settings(max_examples=100)
@given(problems(most=6, circles=False))
def test_a_tidied_plan_is_sound_and_no_worse(problem):
    rest, _ = possible(problem)
    plan = plan_for(rest, tries(50), Random(1))
    tidy = tidied(rest, plan, [hold.give for hold in rest.holds if hold.give])

    assert faults(rest, tidy) == []
    assert (tidy.overrun, tidy.late, tidy.finish, tidy.changes) <= (plan.overrun, plan.late, plan.finish, plan.changes)

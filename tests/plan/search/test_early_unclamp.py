"""Early unclamping: clamps come off as soon as they may, at no cost."""

from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Hold, Link, Op, Placed, Plan, Problem, Window
from benchbell.plan.planner import plan_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.early_unclamp import unclamped_early
from benchbell.plan.search.infeasible import feasible_part
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
    plan = unclamped_early(problem, late, ["off"])

    assert [one.op for one in plan.placed] == ["glue", "saw", "off", "plane", "sand"]
    assert plan.finish == late.finish
    assert faults(problem, plan) == []


@settings(max_examples=100)
@given(problems(most=6, cycles=False))
def test_a_plan_unclamped_early_is_sound_and_no_worse(problem):
    rest, _ = feasible_part(problem)
    plan = plan_for(rest, tries(50), Random(1))
    early = unclamped_early(rest, plan, [hold.give for hold in rest.holds if hold.give])

    assert faults(rest, early) == []
    assert early.objective <= plan.objective

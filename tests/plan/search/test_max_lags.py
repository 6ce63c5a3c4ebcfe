"""Maximal lags, such as recoat windows: an operation that starts one is delayed rather than started too early."""

from itertools import pairwise

from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Link, Op, Placed, Plan, Problem, Window
from benchbell.plan.planner import plan_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random

DAYS = tuple(Window(day * 1440 + 480, day * 1440 + 1020) for day in range(9))


def planned(ops, links, start=480, count=300):
    """The plan, checked, and the times of each operation."""
    problem = Problem(start, DAYS, (), {}, ops, links)
    plan = plan_for(problem, tries(count), Random(1))
    assert faults(problem, plan) == []
    return plan, {placed.op: placed for placed in plan.placed}


def test_a_coat_whose_recoat_window_closes_overnight_waits_for_the_morning():
    coats = (Op("coat 1", 30), Op("coat 2", 30))
    plan, at = planned(coats, (Link("coat 1", "coat 2", 120, 300),), start=960)

    assert plan.overrun == 0
    assert at["coat 1"].start == 1440 + 480


def test_an_operation_is_shifted_right_to_keep_the_maximal_lag_after_it():
    ops = (Op("glue on", 10), Op("rough work", 200), Op("close", 10))
    links = (Link("glue on", "close", 0, 5), Link("rough work", "close"))
    plan, at = planned(ops, links)

    assert plan.overrun == 0
    assert at["glue on"].start == at["rough work"].end


def test_nothing_is_started_that_would_run_past_a_latest_start():
    ops = (Op("coat 2", 20, ready=540, by=560), Op("long", 300))
    plan, at = planned(ops, ())

    assert plan.overrun == 0
    assert at["long"].start == at["coat 2"].end


def four_coats(most):
    """Coats beside other work, 840 minutes in all."""
    coats = tuple(Op(f"coat {n}", 30) for n in range(4))
    other = tuple(Op(f"other {n}", 90) for n in range(8))
    return planned((*coats, *other), tuple(Link(a.id, b.id, 240, most) for a, b in pairwise(coats)))[0]


def test_four_coats_keep_all_their_windows_beside_other_work():
    plan = four_coats(960)

    assert plan.overrun == 0
    assert plan.finish <= 1440 + 480 + 540


def test_where_one_night_must_exceed_a_maximal_lag_only_one_does():
    """Two coats a day keep 8 h; from the end at 17:00 to 08:00 is 15 h."""
    plan = four_coats(480)

    assert plan.overrun == 900 - 480
    assert plan.finish <= 1440 + 480 + 540


def test_a_lag_that_the_hours_cannot_keep_is_exceeded_as_little_as_possible():
    """Ready at closing at the soonest: from 17:00 to 08:00 are 900 minutes, 600 are allowed, 300 too many."""
    ops = (Op("coat 1", 540), Op("coat 2", 540))
    plan, _ = planned(ops, (Link("coat 1", "coat 2", 0, 600),))

    assert plan.overrun == 300


def test_keeping_a_maximal_lag_is_better_than_an_earlier_finish():
    before = Plan(
        (Placed("a", 480, 480, 490, 490), Placed("b", 490, 490, 590, 590), Placed("c", 600, 600, 610, 610)), 610, 0, 80
    )
    problem = Problem(480, DAYS, (), {}, (Op("a", 10), Op("b", 100), Op("c", 10, ready=600)), (Link("a", "c", 0, 30),))
    plan = plan_for(problem, tries(50), Random(1), before)

    assert plan.overrun == 0

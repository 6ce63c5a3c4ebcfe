"""The exact solver keeps all rules, finds the optimum of small problems, and never makes a plan worse."""

import sys

import pytest
from benchbell.findings import Refused
from benchbell.plan.exact.solver import polish
from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Craft, Hold, Link, Op, Problem, Station, Window
from benchbell.plan.planner import plan_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.random import Random
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.brute import best_of_all
from plan.brute_crew import least_finish
from plan.crews import small_crews, small_problems
from plan.problems import problems

AMPLE = 120
"""Seconds, many times what these problems need: the solver stops when it has proved its plan optimal."""


@settings(max_examples=60)
@given(problems(most=5, limits=False, cycles=False, craft=False))
def test_no_order_is_better_than_the_polished_plan(problem):
    rest, _ = feasible_part(problem)
    plan, bound = polish(rest, plan_for(rest, tries(1), Random(1)), AMPLE, 1)

    assert faults(rest, plan) == []
    assert best_of_all(rest) == (plan.late, plan.finish, plan.changes)
    assert bound <= plan.finish


@settings(max_examples=60)
@given(problems(most=8), st.integers(1, 3))
def test_a_polished_plan_is_sound_and_no_worse(problem, hands):
    rest = replace(feasible_part(problem)[0], hands=hands)
    first = plan_for(rest, tries(30), Random(1))
    plan, bound = polish(rest, first, AMPLE, 1)

    assert faults(rest, plan) == []
    assert plan.objective <= first.objective
    assert first.bound <= bound <= plan.finish


@pytest.mark.parametrize("minutes", [0, 30])
def test_begun_work_comes_before_work_of_no_length(minutes):
    ops = (Op("held", minutes, begun=True, due=0), Op("mark", 0, due=0, piece="other"))
    problem = Problem(0, (Window(0, 31), Window(91, 9031)), (), {}, ops)
    plan, _ = polish(problem, plan_for(problem, tries(1), Random(1)), AMPLE, 1)

    assert faults(problem, plan) == []
    assert [placed.op for placed in plan.placed] == ["held", "mark"]


def test_without_maximal_lags_the_finish_is_proved():
    """By hand: both cuts, a change and the glue-up fill the first window; clamps off and c, 40 minutes, are left."""
    problem = Problem(
        0,
        (Window(0, 60), Window(100, 300)),
        (Station("saw", "rip", {"rip": {"mitre": 10}, "mitre": {"rip": 10}}),),
        {"bar": 2},
        (Op("a", 20, 0, "saw", "rip"), Op("b", 20, 0, "saw", "mitre"), Op("glue", 10), Op("off", 5), Op("c", 35)),
        (Link("a", "glue"), Link("b", "glue"), Link("glue", "off", 30)),
        (Hold("bar", 2, "glue", "off"),),
    )
    plan, bound = polish(problem, plan_for(problem, tries(1), Random(1)), AMPLE, 1)

    assert faults(problem, plan) == []
    assert bound == plan.finish == 140


def test_the_finish_that_is_proved_is_of_the_clock_alone():
    """By hand: coating first lets its lag run while the sander throws dust on it, done at 45; sanding first, at 65."""
    problem = Problem(
        0,
        (Window(0, 300),),
        (),
        {},
        (Op("sand", 20, dusty=True), Op("coat", 10, wet=45), Op("hang", 5)),
        (Link("coat", "hang", 30),),
        craft=Craft(),
    )
    plan, bound = polish(problem, replace(plan_for(problem, tries(100), Random(1)), bound=0), AMPLE, 1)

    assert faults(problem, plan) == []
    assert (plan.finish, plan.craft, bound) == (65, 0, 45)


def test_without_the_solver_the_message_says_how_to_install_it(monkeypatch):
    monkeypatch.setitem(sys.modules, "ortools.sat.python", None)
    problem = Problem(0, (Window(0, 60),), (), {}, (Op("a", 20),))
    plan = plan_for(problem, tries(1), Random(1))

    with pytest.raises(Refused, match=r"not installed\. Run pip install 'benchbell\[optimal\]'\."):
        polish(problem, plan, AMPLE, 1)


@settings(max_examples=40, deadline=None)
@given(small_problems(), small_crews())
def test_hands_that_differ_get_a_sound_plan_and_a_bound_that_no_plan_beats(problem, people):
    rest, _ = feasible_part(replace(problem, crew=people, hands=len(people)))
    first = plan_for(rest, tries(1), Random(1))
    plan, bound = polish(rest, first, AMPLE, 1)

    assert faults(rest, plan) == []
    assert plan.objective <= first.objective
    assert bound <= least_finish(rest)

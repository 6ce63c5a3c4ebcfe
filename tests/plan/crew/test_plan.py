"""Several pairs of hands: plans are sound by the independent checker, and never worse than for one pair."""

import pytest
from benchbell.plan.crew.as_project import project_of
from benchbell.plan.crew.crew_generation import crew_of, crew_with_limits
from benchbell.plan.crew.plan import ALONE
from benchbell.plan.crew.project import topological
from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Hold, Link, Op, Problem, Station, Window
from benchbell.plan.model.schedule import plan_of
from benchbell.plan.planner import plan_for, plans_for
from benchbell.plan.search.budget import part_of, tries
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.random import Random
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.problems import problems
from plan.shop_data import NAMES, best_known, shop_problem


@settings(max_examples=200)
@given(problems(), st.integers(2, 3), st.integers(0, 1000))
def test_plans_are_sound_and_each_is_better_than_the_one_before(problem, hands, seed):
    rest = replace(feasible_part(problem)[0], hands=hands)
    plans = list(plans_for(rest, tries(1000), Random(seed)))

    assert [faults(rest, plan) for plan in plans] == [[] for _ in plans]
    assert [plan.objective for plan in plans] == sorted({plan.objective for plan in plans}, reverse=True)


@settings(max_examples=100)
@given(problems(limits=False, dues=False, craft=False), st.integers(2, 3), st.integers(0, 1000))
def test_more_hands_finish_no_later_than_one_pair_in_its_share_of_the_budget(problem, hands, seed):
    rest, _ = feasible_part(problem)
    alone = plan_for(rest, part_of(tries(400), ALONE), Random(seed))
    together = plan_for(replace(rest, hands=hands), tries(500), Random(seed))

    assert together.finish <= alone.finish


@settings(max_examples=200)
@given(problems(), st.integers(1, 3), st.randoms(use_true_random=False))
def test_the_schedule_of_any_order_is_sound(problem, hands, random):
    rest = replace(feasible_part(problem)[0], hands=hands)
    crew = crew_of(rest)
    schedule = crew_with_limits(crew, random.sample(range(len(rest.ops)), len(rest.ops)))
    assume(schedule is not None)

    assert faults(rest, plan_of(crew.compiled, schedule, 0)) == []


@settings(max_examples=100)
@given(problems())
def test_as_a_project_a_problem_has_no_cycle_and_no_need_above_capacity(problem):
    rest = replace(feasible_part(problem)[0], hands=2)
    project = project_of(rest, crew_of(rest))

    assert sorted(topological(project)) == list(range(len(project.activities)))


@pytest.mark.parametrize("name", NAMES[3::4])
def test_two_pairs_of_hands_beat_the_lower_bound_for_one_pair(name):
    """Five of the generated shops; the bound for one pair of hands is proved."""
    problem = replace(shop_problem(name), hands=2)
    plan = plan_for(problem, tries(200), Random(1))
    _, bound = best_known()[name]

    assert faults(problem, plan) == []
    assert plan.finish < bound


def test_independent_operations_are_done_in_parallel():
    problem = Problem(0, (Window(0, 100),), (), {}, (Op("a", 40), Op("b", 40), Op("c", 30)), hands=2)

    assert plan_for(problem, tries(50), Random(1)).finish == 70


def test_one_station_is_not_used_by_two_at_once():
    ops = (Op("a", 40, station="saw"), Op("b", 40, station="saw"))
    problem = Problem(0, (Window(0, 100),), (Station("saw"),), {}, ops, hands=2)

    assert plan_for(problem, tries(50), Random(1)).finish == 80


def test_clamps_are_waited_for():
    ops = (Op("glue", 10), Op("off", 5), Op("other", 10), Op("other-off", 5))
    links = (Link("glue", "off", 30), Link("other", "other-off", 30))
    holds = (Hold("bar", 3, "glue", "off"), Hold("bar", 3, "other", "other-off"))
    problem = Problem(0, (Window(0, 500),), (), {"bar": 4}, ops, links, holds, hands=2)

    assert plan_for(problem, tries(50), Random(1)).finish == 2 * (10 + 30 + 5)


def test_an_operation_is_delayed_so_that_the_maximal_lag_after_it_is_kept():
    """By hand: c may begin at 60 at the soonest, and at most 20 minutes after b."""
    ops = (Op("a", 60), Op("b", 10), Op("c", 10))
    problem = Problem(0, (Window(0, 200),), (), {}, ops, (Link("a", "c"), Link("b", "c", 0, 20)), hands=2)
    crew = crew_of(problem)
    plan = plan_of(crew.compiled, crew_with_limits(crew, range(3)), 0)

    assert faults(problem, plan) == []
    assert (plan.overrun, plan.finish) == (0, 70)


def test_begun_work_comes_first_and_others_may_start_beside_it():
    problem = Problem(0, (Window(0, 100),), (), {}, (Op("a", 20), Op("b", 60, begun=True)), hands=2)
    plan = plan_for(problem, tries(50), Random(1))

    assert faults(problem, plan) == []
    assert plan.finish == 60

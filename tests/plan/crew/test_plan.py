"""Several pairs of hands: plans are sound by the independent checker, and never worse than for one pair."""

import pytest
from benchbell.plan.crew.as_project import project_of
from benchbell.plan.crew.plan import ALONE, part, value
from benchbell.plan.crew.project import topological
from benchbell.plan.crew.timing import crew_of, timed_well
from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Hold, Link, Op, Problem, Station, Window
from benchbell.plan.planner import plan_for, plans_for, tries
from benchbell.plan.search.infeasible import possible
from benchbell.plan.search.random import Random
from benchbell.plan.search.serial_generation import plan_of
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.problems import problems
from plan.shop_data import NAMES, best_known, shop_problem


@settings(max_examples=200)
@given(problems(), st.integers(2, 3), st.integers(0, 1000))
def test_plans_are_sound_and_better_and_better(problem, hands, seed):
    rest = replace(possible(problem)[0], hands=hands)
    plans = list(plans_for(rest, tries(60), Random(seed)))

    assert [faults(rest, plan) for plan in plans] == [[] for _ in plans]
    assert [value(plan) for plan in plans] == sorted({value(plan) for plan in plans}, reverse=True)


@settings(max_examples=100)
@given(problems(limits=False, dues=False), st.integers(2, 3), st.integers(0, 1000))
def test_more_hands_finish_no_later_than_one_pair_in_its_share_of_the_budget(problem, hands, seed):
    rest, _ = possible(problem)
    alone = plan_for(rest, part(tries(100), ALONE), Random(seed))
    together = plan_for(replace(rest, hands=hands), tries(100), Random(seed))

    assert together.finish <= alone.finish


@settings(max_examples=200)
@given(problems(), st.integers(1, 3), st.randoms(use_true_random=False))
def test_whatever_the_order_its_timing_is_sound(problem, hands, random):
    rest = replace(possible(problem)[0], hands=hands)
    crew = crew_of(rest)
    seen = timed_well(crew, random.sample(range(len(rest.ops)), len(rest.ops)))
    assume(seen is not None)

    assert faults(rest, plan_of(crew.shop, seen, 0)) == []


@settings(max_examples=100)
@given(problems())
def test_as_a_project_a_problem_has_no_circle_and_no_need_above_what_there_is(problem):
    rest = replace(possible(problem)[0], hands=2)
    project = project_of(rest, crew_of(rest))

    assert sorted(topological(project)) == list(range(len(project.activities)))


@pytest.mark.parametrize("name", NAMES[3::4])
def test_two_finish_a_shop_sooner_than_one_ever_could(name):
    """Five of the generated shops; for one pair of hands the bound is proved."""
    problem = replace(shop_problem(name), hands=2)
    plan = plan_for(problem, tries(200), Random(1))
    _, bound = best_known()[name]

    assert faults(problem, plan) == []
    assert plan.finish < bound


def test_what_two_can_do_side_by_side_is_done_side_by_side():
    problem = Problem(0, (Window(0, 100),), (), {}, (Op("a", 40), Op("b", 40), Op("c", 30)), hands=2)

    assert plan_for(problem, tries(50), Random(1)).finish == 70


def test_one_saw_is_not_used_by_two():
    ops = (Op("a", 40, station="saw"), Op("b", 40, station="saw"))
    problem = Problem(0, (Window(0, 100),), (Station("saw"),), {}, ops, hands=2)

    assert plan_for(problem, tries(50), Random(1)).finish == 80


def test_clamps_are_waited_for():
    ops = (Op("glue", 10), Op("off", 5), Op("other", 10), Op("other-off", 5))
    links = (Link("glue", "off", 30), Link("other", "other-off", 30))
    holds = (Hold("bar", 3, "glue", "off"), Hold("bar", 3, "other", "other-off"))
    problem = Problem(0, (Window(0, 500),), (), {"bar": 4}, ops, links, holds, hands=2)

    assert plan_for(problem, tries(50), Random(1)).finish == 2 * (10 + 30 + 5)


def test_what_starts_a_limited_wait_is_held_back_until_the_wait_can_end_in_time():
    """By hand: c may begin at 60 at the soonest, and at most 20 minutes after b."""
    ops = (Op("a", 60), Op("b", 10), Op("c", 10))
    problem = Problem(0, (Window(0, 200),), (), {}, ops, (Link("a", "c"), Link("b", "c", 0, 20)), hands=2)
    crew = crew_of(problem)
    plan = plan_of(crew.shop, timed_well(crew, range(3)), 0)

    assert faults(problem, plan) == []
    assert (plan.overrun, plan.finish) == (0, 70)


def test_what_is_in_hand_is_taken_up_first_and_others_may_begin_with_it():
    problem = Problem(0, (Window(0, 100),), (), {}, (Op("a", 20), Op("b", 60, begun=True)), hands=2)
    plan = plan_for(problem, tries(50), Random(1))

    assert faults(problem, plan) == []
    assert plan.finish == 60

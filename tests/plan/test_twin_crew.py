"""The page's twin of the search for several pairs of hands finds the same as the Python half, plan by plan."""

from itertools import islice

import msgspec
import pytest
from benchbell.findings import Refused
from benchbell.plan.crew.as_project import project_of
from benchbell.plan.crew.crew_bound import crew_bound
from benchbell.plan.crew.crew_generation import crew_of, crew_with_limits
from benchbell.plan.crew.parallel_generation import generate_parallel_for_crew
from benchbell.plan.crew.project_search import search_project
from benchbell.plan.model.problem import Hand, Hold, Op, Problem, Window
from benchbell.plan.planner import plans_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.parallel_generation import Priorities
from benchbell.plan.search.random import Random
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.crews import crews
from plan.problems import problems
from plan.psplib import instances
from plan.shop_data import shop_problem, with_craft
from twins import answer_of, ask_the_page

often = settings(max_examples=50)
seeds = st.integers(0, 2**31)


def same(ask, here, *given):
    """What both sides say, which is the same. here: what Python says, or a function of what is given that says it."""
    said = answer_of(here, *given)

    assert ask_the_page(ask, *given) == msgspec.json.decode(msgspec.json.encode(said))
    return said


def plans(problem, count, seed, before):
    return list(plans_for(problem, tries(count), Random(seed), before))


def orders_timed(problem, orders):
    crew = crew_of(problem)
    return [told(crew_with_limits(crew, order)) for order in orders]


def choices_made(problem, choices):
    crew = crew_of(problem)
    return [told(generate_parallel_for_crew(crew, Priorities(*choice))) for choice in choices]


def bound(problem):
    crew = crew_of(problem)
    return crew_bound(crew, crew.compiled.hours.closes[-1] if crew.compiled.hours.closes else crew.compiled.start)


def project(problem):
    return project_of(problem, crew_of(problem))


def project_schedules(project, seed, count):
    return list(islice(search_project(project, Random(seed)), count))


def told(schedule):
    return schedule and [
        schedule.order, schedule.start, schedule.end, schedule.finish, schedule.changes, schedule.hand,
    ]  # fmt: skip


def for_people(problem, people):
    """What can be planned of the problem for these people."""
    return feasible_part(replace(problem, crew=people, hands=len(people)))[0]


def for_alike(problem, hands):
    """What can be planned of the problem for so many pairs of hands that do not differ."""
    return replace(feasible_part(problem)[0], hands=hands)


someone = st.one_of(
    st.builds(for_people, problems(), crews()), st.builds(for_alike, problems(), st.integers(2, 3))
)  # fmt: skip


@often
@given(someone, seeds, st.sampled_from((10, 60, 1500)))
def test_small_problems_get_the_same_plans(problem, seed, count):
    same("plan_plans", plans, problem, count, seed, None)


@often
@given(someone, seeds, st.data())
def test_an_earlier_plan_is_kept_in_the_same_way(problem, seed, data):
    try:
        *_, before = plans(problem, 30, seed, None)
    except Refused:
        return
    ops = tuple(op for op in problem.ops if data.draw(st.integers(0, 4)))
    left = {op.id for op in ops}
    later = replace(
        problem,
        ops=ops,
        links=tuple(link for link in problem.links if {link.before, link.after} <= left),
        holds=tuple(hold for hold in problem.holds if {hold.take, hold.give} <= {"", *left}),
    )
    same("plan_plans", plans, feasible_part(later)[0], 100, seed, before)


@often
@given(someone, st.data())
def test_orders_and_priorities_make_the_same_schedules(problem, data):
    count = len(problem.ops)
    orders = data.draw(st.lists(st.permutations(range(count)), min_size=2, max_size=6))
    weights = st.sampled_from(((0, 0, 4), (4, 0, 0), (4, 30, 1), (16, 90, 16)))
    values = st.lists(st.integers(-500, 500), min_size=count, max_size=count)
    choices = [(drawn, *data.draw(weights)) for drawn in data.draw(st.lists(values, min_size=2, max_size=6))]

    same("plan_crew_orders", orders_timed, problem, orders)
    same("plan_crew_choices", choices_made, problem, choices)


@often
@given(someone, seeds)
def test_the_bound_and_the_project_are_the_same(problem, seed):
    if problem.crew:
        same("plan_crew_bound", bound, problem)
    same("plan_project", project, problem)
    same("plan_project_schedules", project_schedules, project(problem), seed, 80)


def two_who_differ(problem):
    """For two people, of whom the second may not use two stations, and is away on some days."""
    unable = sorted({op.station for op in problem.ops if op.station})[:2]
    away = tuple(replace(window, end=window.end - 60) for window in problem.windows[2:9:3])
    return for_people(problem, (Hand("first"), Hand("second", tuple(unable), away)))


CASES = {
    "two": lambda: for_alike(shop_problem("shop06"), 2),
    "three, with craft": lambda: for_alike(with_craft(shop_problem("shop12")), 3),
    "two who differ": lambda: two_who_differ(shop_problem("shop03")),
    "two who differ, with craft": lambda: two_who_differ(with_craft(shop_problem("shop09"))),
}


def test_clamps_that_come_back_as_others_are_taken_are_free_no_sooner_on_both_sides():
    ops = tuple(Op(name, 10, ready=10 if name == "b" else 0) for name in "abcde")
    holds = (Hold("bar", 1, "", "a"), Hold("bar", 1, "b", "d"), Hold("bar", 1, "c", "e"))
    problem = Problem(0, (Window(0, 100),), (), {"bar": 2}, ops, holds=holds, hands=3)
    (_, start, *_), *_ = same("plan_crew_orders", orders_timed, problem, [list(range(5))])["answer"]

    assert start[:3] == [0, 10, 10]


@pytest.mark.parametrize("case", CASES)
def test_a_shop_gets_the_same_plans_from_all_parts_of_the_search(case):
    problem = CASES[case]()
    first, *_ = plans(problem, 30, 1, None)

    for count, seed in ((400, 1), (400, 2), (400, 3), (3000, 4)):
        same("plan_plans", plans, problem, count, seed, None)
    same("plan_plans", plans, problem, 300, 2, first)


@pytest.mark.parametrize("name", ["j30_13_1", "j30_29_2"])
def test_hard_projects_get_the_same_schedules(name):
    project, _ = instances()[name]
    found = same("plan_project_schedules", project_schedules, project, 1, 300)["answer"]

    assert len(found) == 300

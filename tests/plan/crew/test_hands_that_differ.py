"""Hands that differ: who may use what, and who is away; sound by the independent checker, and by brute force."""

import pytest
from benchbell.findings import Refused
from benchbell.plan.crew.crew_bound import crew_bound
from benchbell.plan.crew.crew_generation import crew_of, crew_with_limits
from benchbell.plan.crew.parallel_generation import generate_parallel_for_crew
from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Hand, Op, Problem, Station, Window
from benchbell.plan.model.schedule import plan_of
from benchbell.plan.planner import plan_for, plans_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.parallel_generation import Priorities
from benchbell.plan.search.random import Random
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.brute_crew import least_finish
from plan.crews import crews, small_crews, small_problems
from plan.problems import problems

DAY = (Window(0, 100),)


def for_crew(problem, crew):
    """What can be planned of the problem for these people."""
    return feasible_part(replace(problem, crew=crew, hands=len(crew)))[0]


@settings(max_examples=100)
@given(problems(), crews(), st.integers(0, 1000))
def test_plans_are_sound_and_each_is_better_than_the_one_before(problem, crew, seed):
    rest = for_crew(problem, crew)
    try:
        plans = list(plans_for(rest, tries(1000), Random(seed)))
    except Refused:
        assume(False)

    assert [faults(rest, plan) for plan in plans] == [[] for _ in plans]
    assert [plan.objective for plan in plans] == sorted({plan.objective for plan in plans}, reverse=True)


@settings(max_examples=300)
@given(problems(), crews(), st.randoms(use_true_random=False))
def test_the_schedule_of_any_order_is_sound(problem, people, random):
    rest = for_crew(problem, people)
    crew = crew_of(rest)
    schedule = crew_with_limits(crew, random.sample(range(len(rest.ops)), len(rest.ops)))
    assume(schedule is not None)

    assert faults(rest, plan_of(crew.compiled, schedule, 0)) == []


@settings(max_examples=300)
@given(problems(limits=False), crews(), st.data())
def test_whoever_is_free_first_keeps_every_rule(problem, people, data):
    fresh = replace(problem, ops=tuple(replace(op, begun=False) for op in problem.ops))
    rest = for_crew(fresh, people)
    crew, count = crew_of(rest), len(rest.ops)
    values = data.draw(st.lists(st.integers(-500, 500), min_size=count, max_size=count))
    weights = data.draw(st.sampled_from([(0, 0), (4, 30), (16, 90)]))
    schedule = generate_parallel_for_crew(crew, Priorities(values, *weights))
    assume(schedule is not None)

    assert faults(rest, plan_of(crew.compiled, schedule, 0)) == []


@settings(max_examples=150, deadline=None)
@given(small_problems(), small_crews())
def test_no_plan_beats_brute_force_and_the_search_reaches_it(problem, people):
    rest = for_crew(problem, people)
    finish = least_finish(rest)
    crew = crew_of(rest)
    plan = plan_for(rest, tries(400), Random(1))

    assert crew_bound(crew, crew.compiled.hours.closes[-1]) <= finish
    assert plan.bound <= finish
    assert plan.finish == finish


def planned(problem):
    """Who does what when: by operation, the name and the start."""
    plan = plan_for(problem, tries(50), Random(1))
    assert faults(problem, plan) == []
    return {p.op: (problem.crew[p.hand].name, p.start) for p in plan.placed}


def test_who_may_not_use_the_saw_does_the_rest():
    ops = (Op("cut", 40, station="saw"), Op("rip", 30, station="saw"), Op("sand", 50))
    crew = (Hand("Anna"), Hand("Otto", unable=("saw",)))
    problem = Problem(0, DAY, (Station("saw"),), {}, ops, hands=2, crew=crew)

    assert planned(problem)["sand"] == ("Otto", 0)


def test_who_is_away_begins_nothing_that_would_not_be_done_before():
    crew = (Hand("Anna", away=(Window(20, 80),)), Hand("Otto"))
    problem = Problem(0, DAY, (), {}, (Op("a", 60), Op("b", 20)), hands=2, crew=crew)

    assert planned(problem) == {"a": ("Otto", 0), "b": ("Anna", 0)}


def test_work_that_may_be_broken_off_is_gone_on_with_by_the_same_hands():
    crew = (Hand("Anna", away=(Window(20, 80),)), Hand("Otto", away=(Window(0, 100),)))
    problem = Problem(0, DAY, (), {}, (Op("a", 30, breakable=True),), hands=2, crew=crew)
    plan = plan_for(problem, tries(10), Random(1))

    assert faults(problem, plan) == []
    assert (plan.placed[0].start, plan.placed[0].end) == (0, 90)


def test_people_who_may_do_the_same_are_named_in_turn():
    crew = (Hand("Anna"), Hand("Otto"))
    problem = Problem(0, DAY, (), {}, (Op("a", 40), Op("b", 40), Op("c", 30)), hands=2, crew=crew)

    assert sorted(name for name, _ in planned(problem).values()) in (["Anna", "Anna", "Otto"], ["Anna", "Otto", "Otto"])


def test_one_alone_who_is_away_has_fewer_hours():
    problem = Problem(0, DAY, (), {}, (Op("a", 30), Op("b", 30)), crew=(Hand("Anna", away=(Window(40, 60),)),))

    assert sorted(planned(problem).values()) == [("Anna", 0), ("Anna", 60)]


def test_what_nobody_may_use_is_not_planned_and_the_reason_says_so():
    ops = (Op("cut", 40, station="band saw"), Op("sand", 10))
    problem = Problem(0, DAY, (), {}, ops, crew=(Hand("Anna", unable=("band saw",)),))
    rest, reasons = feasible_part(problem)

    assert [op.id for op in rest.ops] == ["sand"]
    assert reasons == [
        ("cut", "Nobody here may use the band saw: say on the Shop screen who may, or have it done elsewhere.", "")
    ]


def test_work_must_fit_into_the_hours_of_somebody_who_may_do_it():
    """Both together are there all day; but the one who may use the saw never for so long."""
    crew = (Hand("Anna", away=(Window(50, 100),)), Hand("Otto", unable=("saw",), away=(Window(0, 50),)))
    problem = Problem(0, DAY, (), {}, (Op("cut", 60, station="saw"),), hands=2, crew=crew)
    ((op, reason, _),) = feasible_part(problem)[1]

    assert op == "cut"
    assert reason.startswith("It takes 60 min in one go, the longest stretch of working hours is 50 min.")


def test_hours_that_are_too_few_for_these_people_are_refused():
    crew = (Hand("Anna", away=(Window(40, 100),)), Hand("Otto", unable=("saw",)))
    ops = (Op("cut", 30, station="saw"), Op("rip", 30, station="saw"))

    with pytest.raises(Refused, match="Those who work here do not get all of it done"):
        plan_for(Problem(0, DAY, (), {}, ops, hands=2, crew=crew), tries(10), Random(1))


def test_the_bound_counts_only_the_hours_of_those_who_may():
    crew = crew_of(
        Problem(
            0,
            DAY,
            (),
            {},
            (Op("cut", 20, station="saw", breakable=True), Op("rip", 20, station="saw", breakable=True)),
            hands=2,
            crew=(Hand("Anna", away=(Window(0, 30),)), Hand("Otto", unable=("saw",))),
        )
    )

    assert crew_bound(crew, 100) == 70

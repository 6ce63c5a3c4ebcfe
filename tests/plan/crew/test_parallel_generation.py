"""The parallel scheme for several pairs of hands: sound by the independent checker, and worked by hand."""

from benchbell.plan.crew.crew_generation import crew_of
from benchbell.plan.crew.parallel_generation import generate_parallel_for_crew
from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Hold, Link, Op, Problem, Station, Window
from benchbell.plan.model.schedule import plan_of
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.parallel_generation import Priorities
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.problems import problems

DAY = (Window(0, 100),)


def scheduled(problem, values, setup_weight=0, most_idle=0):
    crew = crew_of(problem)
    schedule = generate_parallel_for_crew(crew, Priorities(values, setup_weight, most_idle))
    return schedule and {id: (schedule.start[n], schedule.end[n]) for n, id in enumerate(crew.compiled.ids)}


@settings(max_examples=300)
@given(problems(limits=False), st.integers(2, 4), st.data())
def test_without_maximal_lags_and_begun_work_it_keeps_every_rule(problem, hands, data):
    fresh = replace(problem, ops=tuple(replace(op, begun=False) for op in problem.ops))
    rest = replace(feasible_part(fresh)[0], hands=hands)
    crew, count = crew_of(rest), len(rest.ops)
    values = data.draw(st.lists(st.integers(-500, 500), min_size=count, max_size=count))
    weights = data.draw(st.sampled_from([(0, 0), (4, 30), (16, 90)]))
    schedule = generate_parallel_for_crew(crew, Priorities(values, *weights))
    assume(schedule is not None)

    assert faults(rest, plan_of(crew.compiled, schedule, 0)) == []


def test_whoever_is_free_first_takes_up_the_best_that_is_left():
    problem = Problem(0, DAY, (), {}, (Op("a", 40), Op("b", 30), Op("c", 20), Op("d", 10)), hands=2)

    assert scheduled(problem, [4, 3, 2, 1]) == {"a": (0, 40), "b": (0, 30), "c": (30, 50), "d": (40, 50)}


def test_one_hand_passes_while_the_only_station_is_in_use():
    ops = (Op("a", 40, station="saw"), Op("b", 40, station="saw"))
    problem = Problem(0, DAY, (Station("saw"),), {}, ops, hands=2)

    assert scheduled(problem, [2, 1]) == {"a": (0, 40), "b": (40, 80)}


def test_clamps_come_back_to_whoever_waits_for_them():
    ops = (Op("glue", 10), Op("off", 5), Op("other", 10), Op("other-off", 5))
    links = (Link("glue", "off", 30), Link("other", "other-off", 30))
    holds = (Hold("bar", 3, "glue", "off"), Hold("bar", 3, "other", "other-off"))
    problem = Problem(0, DAY, (), {"bar": 4}, ops, links, holds, hands=2)

    assert scheduled(problem, [4, 3, 2, 1]) == {
        "glue": (0, 10), "off": (40, 45), "other": (45, 55), "other-off": (85, 90),
    }  # fmt: skip


def test_what_may_be_interrupted_goes_on_in_the_next_window_and_nothing_else_does():
    hours = (Window(0, 50), Window(100, 150))
    problem = Problem(0, hours, (), {}, (Op("a", 60, breakable=True), Op("b", 45), Op("c", 30)), hands=2)

    assert scheduled(problem, [3, 2, 1]) == {"a": (0, 110), "b": (0, 45), "c": (100, 130)}


def test_what_is_worth_waiting_for_is_waited_for_as_long_as_that_is_allowed():
    ops = (Op("first", 10), Op("second", 10, ready=5), Op("third", 50))
    problem = Problem(0, DAY, (), {}, ops, hands=2)

    assert scheduled(problem, [300, 200, 100], most_idle=5)["second"] == (5, 15)
    assert scheduled(problem, [300, 200, 100])["second"] == (10, 20)


def test_none_where_hours_or_clamps_are_too_few():
    assert scheduled(Problem(0, DAY, (), {}, (Op("a", 60), Op("b", 60), Op("c", 60)), hands=2), [3, 2, 1]) is None
    held = (Hold("bar", 1, "a", "c"), Hold("bar", 1, "b", "c"))
    links = (Link("a", "c"), Link("b", "c"))
    too_few = Problem(0, DAY, (), {"bar": 1}, (Op("a", 5), Op("b", 5), Op("c", 5)), links, held, hands=2)
    assert scheduled(too_few, [3, 2, 1]) is None
    assert scheduled(Problem(0, (), (), {}, (Op("a", 60),), hands=2), [1]) is None

"""The page's half of the planner's model, budgets and chance, asked the same questions as the Python half."""

from random import Random

import pytest
from benchbell.plan.model import hours
from benchbell.plan.model.begun import without_begun
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.hands import able_hands, as_alike, differ, with_hands
from benchbell.plan.model.precedence import topological_order
from benchbell.plan.model.problem import Craft, Hold, Link, Op, Problem, Window
from benchbell.plan.model.schedule import objective, plan_of, rank, schedule_of
from benchbell.plan.search.budget import dearer, part_of, tries, tries_for
from benchbell.plan.search.random import Random as Random32
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.crews import crews
from plan.on_the_page import compiled_on_the_page, on_the_page, told
from plan.played_problems import played_problems
from plan.problems import problems
from plan.random_schedules import random_schedule
from plan.shop_data import NAMES, shop_problem
from twins import ask_the_page

moments = st.integers(-50, 900)
seeds = st.integers(-(2**53) + 1, 2**53 - 1)


def assert_judged_alike(problem, schedule):
    """The page finds the schedule worth as much, with the same faults, and makes the same plan of it."""
    compiled = compile_problem(problem)
    plan = plan_of(compiled, schedule, schedule.finish - 7)

    assert told(rank, compiled, schedule) == ask_the_page("plan_rank", problem, schedule)
    assert told(objective, compiled, schedule) == ask_the_page("plan_objective", problem, schedule)
    assert told(plan_of, compiled, schedule, schedule.finish - 7) == ask_the_page(
        "plan_of", problem, schedule, schedule.finish - 7
    )
    assert told(schedule_of, compiled, plan) == ask_the_page("plan_schedule", problem, plan)


def told_compiled(problem):
    """What Python makes of the problem, as the page answers."""
    return told(lambda: compiled_on_the_page(compile_problem(problem)))


@given(problems())
def test_a_problem_compiles_to_the_same_lists_on_the_page(problem):
    assert told_compiled(problem) == ask_the_page("plan_compiled", problem)


@given(problems(), st.sampled_from((15, 30, 600)))
def test_a_break_that_is_just_long_enough_is_the_same_on_the_page(problem, long_break):
    problem = replace(problem, craft=Craft(long_break=long_break))

    assert told_compiled(problem) == ask_the_page("plan_compiled", problem)


@given(problems(), crews())
def test_hands_are_the_same_on_the_page(problem, crew):
    problem = replace(problem, hands=len(crew), crew=crew)

    assert told_compiled(problem) == ask_the_page("plan_compiled", problem)
    assert told(differ, problem) == ask_the_page("plan_differ", problem)
    assert told(as_alike, problem) == ask_the_page("plan_as_alike", problem)
    assert told(able_hands, problem, problem.ops[-1]) == ask_the_page("plan_able_hands", problem, problem.ops[-1])


@given(problems(cycles=False), st.randoms(use_true_random=False), st.integers(1, 3))
def test_a_schedule_is_judged_the_same_on_the_page(problem, random, hands):
    problem = replace(problem, hands=hands)
    schedule = random_schedule(problem, random, hands)
    assume(schedule)

    assert_judged_alike(problem, schedule)


@pytest.mark.parametrize("name", NAMES[::6])
def test_schedules_of_shops_are_judged_the_same_on_the_page(name):
    problem = shop_problem(name)
    tried = (random_schedule(problem, Random(seed)) for seed in range(200))

    assert told_compiled(problem) == ask_the_page("plan_compiled", problem)
    assert_judged_alike(problem, next(schedule for schedule in tried if schedule))


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_schedules_of_builds_in_hand_are_judged_the_same_on_the_page(seed):
    found = list(played_problems(seed, tasks=40, every=8))
    for problem in found:
        schedule = random_schedule(problem, Random(seed))

        assert told_compiled(problem) == ask_the_page("plan_compiled", problem)
        if schedule:
            assert_judged_alike(problem, schedule)

    assert any(op.begun for problem in found for op in problem.ops)


def test_a_schedule_that_leaves_work_out_ranks_the_same_on_the_page():
    problem = shop_problem(NAMES[0])
    schedule = replace(random_schedule(problem, Random(1)), unplaced=2)

    assert told(rank, compile_problem(problem), schedule) == ask_the_page("plan_rank", problem, schedule)


@given(problems(cycles=False), st.integers(0, 3))
def test_begun_work_is_set_apart_the_same_on_the_page(problem, begun):
    problem = replace(problem, ops=tuple(replace(op, begun=n < begun) for n, op in enumerate(problem.ops)))
    found = without_begun(problem)
    wanted = on_the_page(replace(found, compiled=None)) | {"compiled": compiled_on_the_page(found.compiled)}

    assert {"answer": wanted} == ask_the_page("plan_unbegun", problem)
    assert told_compiled(problem) == ask_the_page("plan_compiled", problem)


@pytest.mark.parametrize(
    "problem",
    [
        Problem(0, (), (), {}, (Op("a", 1),), links=(Link("a", "gone"),)),
        Problem(0, (), (), {}, (Op("a", 1),), links=(Link("gone", "a", most=5, wanted=3),), craft=Craft()),
        Problem(0, (), (), {}, (Op("a", 1),), holds=(Hold("bar", 1, "gone", ""),)),
    ],
)
def test_what_names_an_operation_that_is_not_there_compiles_on_neither_side(problem):
    with pytest.raises(KeyError, match="gone"):
        compile_problem(problem)
    with pytest.raises(AssertionError, match="RangeError: no operation gone"):
        ask_the_page("plan_compiled", problem)


@st.composite
def windows(draw):
    """Windows in any order, that may touch, overlap or be empty."""
    spans = draw(st.lists(st.tuples(st.integers(0, 800), st.integers(-5, 120)), max_size=6))
    return [Window(start, start + minutes) for start, minutes in spans]


@settings(max_examples=200)
@given(st.data(), windows(), st.integers(0, 300), st.just(0) | st.integers(0, 250), st.booleans())
def test_hours_are_read_the_same_on_the_page(data, given, start, minutes, breakable):
    edges = [edge for window in given for edge in (window.start, window.end)]
    at = data.draw(st.sampled_from([start, *edges]) | moments)
    read = hours.hours_of(given, start)

    assert told(hours.hours_of, given, start) == ask_the_page("plan_hours", given, start)
    assert told(hours.mornings, read) == ask_the_page("plan_mornings", given, start)
    assert told(hours.open_minutes, read, at) == ask_the_page("plan_open_minutes", given, start, at)
    for ask, function in (
        ("plan_earliest_start", hours.earliest_start),
        ("plan_latest_start", hours.latest_start),
    ):
        assert told(function, read, at, minutes, breakable) == ask_the_page(ask, given, start, at, minutes, breakable)
    begin = hours.earliest_start(read, at, minutes, True)
    if begin < hours.FAR:
        assert told(hours.end_of, read, begin, minutes) == ask_the_page("plan_end_of", given, start, begin, minutes)


@given(st.data(), st.integers(1, 12))
def test_an_order_is_the_same_on_the_page(data, count):
    number = st.integers(0, count - 1)
    pairs = data.draw(st.lists(st.tuples(number, number), max_size=20, unique=True))
    place = data.draw(st.none() | st.lists(st.integers(-3, 3), min_size=count, max_size=count))

    assert told(topological_order, count, dict.fromkeys(pairs, 0), place) == ask_the_page(
        "plan_order", count, pairs, place
    )


@given(problems(cycles=False), crews(), st.randoms(use_true_random=False))
def test_a_plan_gets_the_same_hands_on_the_page(problem, crew, random):
    schedule = random_schedule(problem, random)
    assume(schedule)
    plan = plan_of(compile_problem(problem), schedule, 0)
    for of in (problem, replace(problem, hands=len(crew), crew=crew)):
        assert told(with_hands, of, plan) == ask_the_page("plan_with_hands", of, plan)


@given(seeds, st.lists(st.integers(1, 2**32), min_size=1, max_size=40))
def test_chance_gives_the_same_numbers_on_the_page(seed, counts):
    random = Random32(seed)

    assert {"answer": [random.below(count) for count in counts]} == ask_the_page("plan_below", seed, counts)
    assert {"answer": Random32(seed).around(counts[0])} == ask_the_page("plan_around", seed, counts[0])
    assert {"answer": Random32(seed).one_of(counts)} == ask_the_page("plan_one_of", seed, counts)


def test_the_seed_that_would_give_nothing_but_0_is_the_same_on_the_page():
    seed = -pow(2654435761, -1, 2**32)  # whose product and 1 are 0 in 32 bits

    assert {"answer": [Random32(seed).below(2**32)]} == ask_the_page("plan_below", seed, [2**32])


@given(st.integers(1, 5000), st.none() | st.floats(0, 0.9), st.integers(1, 9))
def test_a_budget_of_tries_is_spent_the_same_on_the_page(count, until, asked):
    budget = tries(count)
    budget = budget if until is None else part_of(budget, until)

    assert {"answer": [budget() for _ in range(asked)]} == ask_the_page("plan_tries", count, until, asked)


@given(st.integers(1, 500), st.integers(1, 5), st.integers(1, 9))
def test_a_dearer_budget_is_spent_the_same_on_the_page(count, each, asked):
    budget = dearer(tries(count), each)

    assert {"answer": [budget() for _ in range(asked)]} == ask_the_page("plan_dearer", count, each, asked)


@given(st.integers(0, 4000))
def test_as_many_schedules_are_tried_on_the_page(operations):
    assert told(tries_for, operations) == ask_the_page("plan_tries_for", operations)

"""The page's half of the faults of craft finds the same as the Python half, to the minute."""

from bisect import bisect_left
from itertools import pairwise, zip_longest
from random import Random

from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.craft_faults import craft_faults
from benchbell.plan.model.hours import open_minutes
from benchbell.plan.model.problem import Craft, Link, Op, Problem, Station, Window
from benchbell.plan.model.schedule import Schedule
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.on_the_page import told
from plan.played_problems import played_problems
from plan.problems import problems
from plan.random_schedules import random_schedule
from twins import ask_the_page


def faults_on_both_sides(problem, schedule):
    """The faults that both find in the schedule."""
    compiled = compile_problem(problem)
    here = told(craft_faults, compiled, compiled.craft, schedule.order, schedule.start, schedule.end)

    assert here == ask_the_page("plan_craft_faults", problem, schedule)
    return here["answer"]


@given(problems(cycles=False), st.randoms(use_true_random=False), st.integers(1, 3))
def test_faults_of_a_schedule_are_the_same_on_the_page(problem, random, hands):
    problem = replace(problem, hands=hands, craft=problem.craft or Craft())
    schedule = random_schedule(problem, random)
    assume(schedule)

    faults_on_both_sides(problem, schedule)


def test_faults_in_real_work_are_the_same_on_the_page():
    kinds = set()
    for seed in (1, 2, 3, 4):
        for n, problem in enumerate(played_problems(seed, tasks=40, every=4)):
            schedule = random_schedule(problem, Random(n))
            if schedule:
                kinds |= {kind for kind, _, _ in faults_on_both_sides(problem, schedule)}

    assert kinds == {"torn", "fiddly", "dust", "late act", "visit"}


def just_torn(compiled, schedule):
    """How long the pieces are into which closings tear work, in working hours."""
    for since, end in zip(schedule.start, schedule.end, strict=True):
        cuts = [since, *(closing for closing in compiled.craft.closings if since < closing < end), end]
        done = [open_minutes(compiled.hours, cut) for cut in cuts]
        yield from (b - a for a, b in pairwise(done) if len(cuts) > 2)


@given(problems(cycles=False), st.randoms(use_true_random=False), st.integers(-1, 1))
def test_closings_by_a_minute_are_the_same_on_the_page(problem, random, by):
    problem = replace(problem, craft=problem.craft or Craft())
    schedule = random_schedule(problem, random)
    assume(schedule)
    compiled = compile_problem(problem)
    closings = compiled.craft.closings
    gaps = {closings[bisect_left(closings, end)] - end for end in schedule.end}
    pieces = set(just_torn(compiled, schedule))

    for gap, piece in zip_longest(sorted(gaps), sorted(pieces), fillvalue=15):
        craft = replace(problem.craft, last_minutes=gap - by, least_piece=piece - by)
        faults_on_both_sides(replace(problem, craft=craft), schedule)


few = st.integers(0, 5)


@settings(max_examples=300)
@given(few, few, few, few, few, st.booleans(), few)
def test_a_lag_by_a_minute_is_judged_the_same_on_the_page(closes, closed, runs, lag, wanted, is_open, waits):
    windows = Window(0, 11 + closes), Window(11 + closes + closed, 100)
    ops = Op("glue", 10, runs=runs), Op("clean", 1)
    link = Link("glue", "clean", lag, None, lag + wanted, is_open)
    problem = Problem(0, windows, (), {}, ops, (link,), craft=Craft())
    start = 10 + runs + lag + waits

    faults_on_both_sides(problem, Schedule([0, 1], [0, start], [10, start + 1], start + 1, 0))


@settings(max_examples=300)
@given(st.lists(st.sampled_from("abcde-"), min_size=4, max_size=16), st.integers(1, 4))
def test_who_comes_back_to_a_machine_is_the_same_on_the_page(at, hands):
    ops = tuple(Op(f"op{n}", 1, station=station.strip("-")) for n, station in enumerate(at))
    stations = Station("a", near=True), Station("b")
    problem = Problem(0, (Window(0, 100),), stations, {}, ops, hands=hands, craft=Craft(), here="b")
    starts = list(range(len(at)))

    faults_on_both_sides(problem, Schedule(starts, starts, [n + 1 for n in starts], len(at), 0))

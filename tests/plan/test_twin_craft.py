"""The page's half of the faults of craft finds the same as the Python half, to the minute."""

from bisect import bisect_left
from itertools import zip_longest
from random import Random

from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.craft_faults import craft_faults
from benchbell.plan.model.hours import open_minutes
from benchbell.plan.model.problem import Craft, Op, Problem, Station, Window
from benchbell.plan.model.schedule import Schedule
from hypothesis import assume, given
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


def just_kept(problem, schedule, by):
    """The problem with every wanted lag as long as it is in the schedule, less so many minutes.

    And with figures of craft that some fiddly work, and some piece of torn work, meet to the minute, less as many.
    """
    compiled = compile_problem(problem)
    number, read = {op.id: n for n, op in enumerate(problem.ops)}, compiled.hours
    links = []
    for link in problem.links:
        since, begin = (
            schedule.end[number[link.before]] + compiled.runs[number[link.before]],
            schedule.start[number[link.after]],
        )
        opened = open_minutes(read, begin) - open_minutes(read, since + link.lag)
        wanted = link.lag + opened if link.wanted_open else begin - since
        links.append(link if link.wanted is None else replace(link, wanted=wanted - by))
    closings = compiled.craft.closings
    gaps = {closings[bisect_left(closings, end)] - end for end in schedule.end}
    pieces = {
        open_minutes(read, to) - open_minutes(read, since)
        for since, end in zip(schedule.start, schedule.end, strict=True)
        for closing in closings
        if since < closing < end
        for since, to in ((since, closing), (closing, end))
    }
    for gap, piece in zip_longest(sorted(gaps), sorted(pieces), fillvalue=15):
        craft = replace(problem.craft, last_minutes=gap - by, least_piece=piece - by)
        yield replace(problem, links=tuple(links), craft=craft)


@given(problems(cycles=False), st.randoms(use_true_random=False), st.integers(-1, 1))
def test_faults_by_a_minute_are_the_same_on_the_page(problem, random, by):
    problem = replace(problem, craft=problem.craft or Craft())
    schedule = random_schedule(problem, random)
    assume(schedule)

    for edge in just_kept(problem, schedule, by):
        faults_on_both_sides(edge, schedule)


@given(st.lists(st.sampled_from(("saw", "planer", "lathe", "bench", "")), max_size=12), st.integers(1, 4))
def test_who_comes_back_to_a_machine_is_the_same_on_the_page(at, hands):
    ops = tuple(Op(f"op{n}", 1, station=station) for n, station in enumerate(at))
    stations = (Station("bench", near=True), Station("lathe"))
    problem = Problem(0, (Window(0, 100),), stations, {}, ops, hands=hands, craft=Craft(), here="lathe")
    starts = list(range(len(at)))
    schedule = Schedule(starts, starts, [n + 1 for n in starts], len(at), 0)

    faults_on_both_sides(problem, schedule)

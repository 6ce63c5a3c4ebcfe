"""Edge finding proves nothing that is not so, and more than the bound without it."""

from itertools import permutations

from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.hours import FAR, Hours
from benchbell.plan.model.problem import Op, Problem, Window
from benchbell.plan.search.bound import lower_bound
from benchbell.plan.search.edge_finding import first_moment, last_moment, later_releases, sharper_bound
from benchbell.plan.search.infeasible import feasible_part
from hypothesis import example, given, settings
from hypothesis import strategies as st
from plan.brute import best_of_all
from plan.problems import problems

JOB = st.tuples(st.integers(0, 12), st.integers(0, 14), st.integers(0, 6)).map(lambda x: (x[0], x[0] + x[1], x[2]))


def never():
    return False


def least_starts(jobs):
    """By job, its least start in any order on one machine in which all are done in time; None if there is no order."""
    found = None
    for order in permutations(range(len(jobs))):
        now, starts = 0, [0] * len(jobs)
        for n in order:
            release, deadline, minutes = jobs[n]
            starts[n] = max(now, release)
            now = starts[n] + minutes
            if now > deadline:
                break
        else:
            found = starts if found is None else [min(a, b) for a, b in zip(found, starts, strict=True)]
    return found


@settings(max_examples=200)
@given(st.lists(JOB, min_size=1, max_size=6))
@example([(0, 10, 4), (1, 10, 4), (0, 30, 3)])
def test_no_job_can_start_before_its_release(jobs):
    possible, found = least_starts(jobs), later_releases(jobs)

    if possible is not None:
        assert found is not None
        assert all(late <= least for late, least, job in zip(found, possible, jobs, strict=True) if job[2])


def test_a_job_comes_after_those_it_cannot_come_before_or_between():
    assert later_releases([(0, 9, 4), (1, 9, 4), (0, 30, 3)]) == [0, 1, 8]
    assert later_releases([(0, 7, 4), (1, 7, 4)]) is None


@settings(max_examples=50)
@given(problems(most=5, limits=False, cycles=False))
def test_no_plan_beats_the_bound(problem):
    rest, _ = feasible_part(problem)
    if rest.ops:
        compiled = compile_problem(rest)
        low, high = lower_bound(compiled, max(compiled.hours.closes)), max(compiled.hours.closes)

        assert low <= sharper_bound(compiled, low, high, never) <= best_of_all(rest)[1]


def long_before_two():
    """Something long that cannot be done before two others that wait for the same moment, nor between them."""
    ops = (
        Op("long", 30, runs=100),
        Op("one", 10, ready=20, runs=120),
        Op("two", 10, ready=20, runs=120),
    )
    return Problem(0, (Window(0, 1000),), (), {}, ops)


def test_it_is_sharper_than_interrupted_work():
    problem = long_before_two()
    compiled = compile_problem(problem)
    low = lower_bound(compiled, 1000)

    assert low < sharper_bound(compiled, low, 1000, never) == best_of_all(problem)[1]


def test_without_time_nothing_is_proved():
    compiled = compile_problem(long_before_two())

    assert sharper_bound(compiled, 20, 1000, lambda: True) == 20


def test_moments_of_open_minutes():
    hours = Hours([10, 100], [20, 130], [0, 10, 40])

    assert [first_moment(hours, n) for n in (0, 1, 10, 11, 40)] == [10, 11, 20, 101, 130]
    assert [last_moment(hours, n) for n in (0, 1, 10, 11, 39)] == [10, 11, 100, 101, 129]
    assert last_moment(hours, 40) == FAR

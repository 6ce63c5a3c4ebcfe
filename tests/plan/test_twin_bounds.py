"""The page's twin of what bounds a plan proves the same as the Python half."""

import pytest
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Op, Problem, Station, Window
from benchbell.plan.planner import plan_for
from benchbell.plan.search.bound import earliest_starts, latest_starts, least_changes, lower_bound
from benchbell.plan.search.budget import tries
from benchbell.plan.search.edge_finding import later_releases, sharper_bound
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.initial import latest_start_values
from benchbell.plan.search.random import Random
from hypothesis import given, settings
from hypothesis import strategies as st
from plan.both_sides import same
from plan.problems import problems
from plan.shop_data import NAMES, shop_problem


def bounds_here(problem, due, hands, high, passes):
    """What `plan_bounds` is asked for."""
    compiled = compile_problem(problem)
    low, asked = lower_bound(compiled, high), iter(range(passes + 1))
    return [
        earliest_starts(compiled),
        latest_starts(compiled, due),
        least_changes(compiled),
        latest_start_values(compiled),
        lower_bound(compiled, high, hands),
        sharper_bound(compiled, low, high, lambda: next(asked) >= passes),
    ]


@settings(max_examples=60)
@given(problems(most=12), st.data())
def test_bounds_are_alike(problem, data):
    rest, _ = feasible_part(problem)
    if rest.ops:
        due = [rest.start + data.draw(st.integers(0, 9000)) for _ in rest.ops]
        high = plan_for(rest, tries(1), Random(1)).finish
        given = rest, due, data.draw(st.integers(1, 3)), high, data.draw(st.sampled_from((0, 1, 3, 200)))
        same("plan_bounds", bounds_here(*given), *given)


@st.composite
def waits_for_machines(draw):
    """Work that is soon done and then waits, from some minute on: what edge finding is for."""
    setups = ("rip", "mitre")
    saw = Station("saw", "", {a: {b: draw(st.integers(10, 40)) for b in setups} for a in ("", *setups)})
    ops = [
        Op(
            f"op{n}",
            draw(st.sampled_from((5, 10, 20, 30))),
            draw(st.sampled_from((0, 60, 120))),
            station,
            draw(st.sampled_from(setups)) if station else "",
            draw(st.sampled_from((0, 20, 45))),
        )
        for n in range(draw(st.integers(3, 7)))
        for station in [draw(st.sampled_from(("", "saw", "saw")))]
    ]
    return Problem(0, (Window(0, 60), Window(90, 150), Window(200, 3000)), (saw,), {}, tuple(ops))


@settings(max_examples=400)
@given(waits_for_machines())
def test_bounds_of_work_that_waits_are_alike(problem):
    high = plan_for(problem, tries(1), Random(1)).finish
    given = problem, [high] * len(problem.ops), 1, high, 200
    same("plan_bounds", bounds_here(*given), *given)


@pytest.mark.parametrize("name", NAMES)
def test_bounds_of_generated_shops_are_alike(name):
    problem = shop_problem(name)
    high = plan_for(problem, tries(1), Random(1)).finish
    given = problem, [problem.start + 30_000] * len(problem.ops), 1, high, 50
    same("plan_bounds", bounds_here(*given), *given)


@settings(max_examples=60)
@given(st.lists(st.tuples(st.integers(0, 12), st.integers(0, 20), st.integers(0, 6)), min_size=1, max_size=9))
def test_jobs_come_after_others_alike(some):
    jobs = [(release, release + slack, minutes) for release, slack, minutes in some]
    same("plan_releases", later_releases(jobs), jobs)

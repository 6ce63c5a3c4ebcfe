"""How much later an operation may begin: no minute less, and with one more something gets worse."""

from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.hours import FAR
from benchbell.plan.model.problem import Link, Op, Placed, Plan, Problem, Window
from benchbell.plan.planner import plan_for, tries
from benchbell.plan.search.infeasible import possible
from benchbell.plan.search.random import Random
from benchbell.plan.search.serial_generation import timed, worth
from benchbell.plan.search.slack import cliff, slack, walked
from hypothesis import given, settings
from plan.problems import problems

PROBLEM = Problem(0, (Window(0, 60), Window(100, 200)), (), {}, (Op("glue", 20), Op("sand", 30), Op("saw", 10)),
                  (Link("glue", "saw", 80),))  # fmt: skip
PLAN = Plan((Placed("glue", 0, 0, 20, 20), Placed("sand", 20, 20, 50, 50), Placed("saw", 100, 100, 110, 110)), 110, 0)


def test_slack_ends_at_closing_time_and_at_what_waits():
    assert slack(PROBLEM, PLAN) == {"glue": 0, "sand": 10, "saw": 0}


def test_beyond_its_slack_the_finish_is_told():
    assert cliff(PROBLEM, PLAN, "sand", 10) == 110
    assert cliff(PROBLEM, PLAN, "sand", 11) == 140


def test_where_hours_run_out_the_finish_is_far():
    assert cliff(PROBLEM, PLAN, "sand", 1000) == FAR


def delayed(shop, seen, i, minutes):
    """What the plan is worth, finish and before, if one operation begins later; None where it cannot."""
    later = timed(shop, seen.order, dict(enumerate(seen.start)) | {i: seen.start[i] + minutes})
    return later and worth(shop, later)[1:4]


@settings(max_examples=200)
@given(problems(limits=False, circles=False))
def test_with_its_slack_nothing_is_worse_and_with_a_minute_more_something_is(problem):
    rest, _ = possible(problem)
    shop, plan = compile_problem(rest), plan_for(rest, tries(20), Random(1))
    seen, found = walked(shop, plan), slack(rest, plan)
    now = worth(shop, seen)[1:4]

    for i, id in enumerate(shop.ids):
        least, more = delayed(shop, seen, i, found[id]), delayed(shop, seen, i, found[id] + 1)
        assert all(a <= b for a, b in zip(least, now, strict=True))
        assert more is None or any(a > b for a, b in zip(more, now, strict=True))


@settings(max_examples=200)
@given(problems(circles=False))
def test_with_its_slack_no_limit_is_passed_further(problem):
    rest, _ = possible(problem)
    shop, plan = compile_problem(rest), plan_for(rest, tries(20), Random(1))
    seen, found = walked(shop, plan), slack(rest, plan)

    assert min(found.values(), default=0) >= 0
    for i, id in enumerate(shop.ids):
        assert delayed(shop, seen, i, found[id]) <= worth(shop, seen)[1:4]

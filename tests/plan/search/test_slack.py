"""Slack: within it nothing gets worse, and one minute beyond it something does."""

from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Link, Op, Placed, Plan, Problem, Window
from benchbell.plan.model.schedule import objective, schedule_of
from benchbell.plan.planner import plan_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.random import Random
from benchbell.plan.search.serial_generation import generate_serial
from benchbell.plan.search.slack import slack
from hypothesis import given, settings
from plan.problems import problems

PROBLEM = Problem(0, (Window(0, 60), Window(100, 200)), (), {}, (Op("glue", 20), Op("sand", 30), Op("saw", 10)),
                  (Link("glue", "saw", 80),))  # fmt: skip
PLAN = Plan((Placed("glue", 0, 0, 20, 20), Placed("sand", 20, 20, 50, 50), Placed("saw", 100, 100, 110, 110)), 110, 0)


def test_slack_ends_at_closing_time_and_at_successors():
    assert slack(PROBLEM, PLAN) == {"glue": 0, "sand": 10, "saw": 0}


def delayed(compiled, schedule, i, minutes):
    """Overrun, tardiness and finish if one operation starts later; None where that is infeasible."""
    later = generate_serial(
        compiled, schedule.order, dict(enumerate(schedule.start)) | {i: schedule.start[i] + minutes}
    )
    return later and objective(compiled, later)[:4]


@settings(max_examples=200)
@given(problems(limits=False, cycles=False, craft=False))
def test_within_its_slack_nothing_is_worse_and_a_minute_later_something_is(problem):
    rest, _ = feasible_part(problem)
    compiled, plan = compile_problem(rest), plan_for(rest, tries(20), Random(1))
    schedule, found = schedule_of(compiled, plan), slack(rest, plan)
    now = objective(compiled, schedule)[:4]

    for i, id in enumerate(compiled.ids):
        least, more = delayed(compiled, schedule, i, found[id]), delayed(compiled, schedule, i, found[id] + 1)
        assert all(a <= b for a, b in zip(least, now, strict=True))
        assert more is None or any(a > b for a, b in zip(more, now, strict=True))


@settings(max_examples=200)
@given(problems(cycles=False, craft=False))
def test_within_its_slack_no_maximal_lag_is_exceeded_further(problem):
    rest, _ = feasible_part(problem)
    compiled, plan = compile_problem(rest), plan_for(rest, tries(20), Random(1))
    schedule, found = schedule_of(compiled, plan), slack(rest, plan)

    assert min(found.values(), default=0) >= 0
    for i, id in enumerate(compiled.ids):
        assert delayed(compiled, schedule, i, found[id]) <= objective(compiled, schedule)[:4]

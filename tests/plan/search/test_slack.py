"""Slack: within it nothing gets worse, and one minute beyond it something does."""

from benchbell.plan.model.check import faults
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Hand, Link, Op, Placed, Plan, Problem, Window
from benchbell.plan.model.schedule import objective, overrun_of, schedule_of
from benchbell.plan.planner import plan_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.random import Random
from benchbell.plan.search.serial_generation import generate_serial
from benchbell.plan.search.slack import slack
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.problems import problems

PROBLEM = Problem(0, (Window(0, 60), Window(100, 200)), (), {}, (Op("glue", 20), Op("sand", 30), Op("saw", 10)),
                  (Link("glue", "saw", 80),))  # fmt: skip
PLAN = Plan((Placed("glue", 0, 0, 20, 20), Placed("sand", 20, 20, 50, 50), Placed("saw", 100, 100, 110, 110)), 110, 0)


def test_slack_ends_at_closing_time_and_at_successors():
    assert slack(PROBLEM, compile_problem(PROBLEM), PLAN) == {"glue": 0, "sand": 10, "saw": 0}


def test_slack_ends_where_whoever_does_it_goes_away():
    crew = (Hand("Anna", away=(Window(30, 60),)), Hand("Otto"))
    problem = Problem(0, (Window(0, 100),), (), {}, (Op("a", 20), Op("b", 100)), hands=2, crew=crew)
    plan = Plan((Placed("b", 0, 0, 100, 100, 1), Placed("a", 0, 0, 20, 20, 0)), 100, 0)

    assert slack(problem, compile_problem(problem), plan) == {"a": 80, "b": 0}
    longer = replace(problem, crew=(Hand("Anna", away=(Window(30, 100),)), crew[1]))
    assert slack(longer, compile_problem(longer), plan) == {"a": 10, "b": 0}


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
    schedule, found = schedule_of(compiled, plan), slack(rest, compiled, plan)
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
    schedule, found = schedule_of(compiled, plan), slack(rest, compiled, plan)

    assert min(found.values(), default=0) >= 0
    for i, id in enumerate(compiled.ids):
        assert delayed(compiled, schedule, i, found[id]) <= objective(compiled, schedule)[:4]


@settings(max_examples=200, deadline=None)
@given(problems(most=12, cycles=False), st.integers(1, 3))
def test_all_may_be_as_late_as_their_slack_at_once_whatever_the_hands(problem, hands):
    rest, _ = feasible_part(replace(problem, hands=hands))
    compiled, plan = compile_problem(rest), plan_for(rest, tries(20), Random(1))
    found, ops = slack(rest, compiled, plan), {op.id: op for op in rest.ops}
    placed = []
    for one in plan.placed:
        start = one.start + found[one.op]
        end = compiled.end(compiled.ids.index(one.op), start)
        placed.append(Placed(one.op, start - (one.start - one.setup), start, end, end + ops[one.op].runs))
    placed.sort(key=lambda one: one.setup)
    later = replace(plan, placed=tuple(placed), finish=max((one.free for one in placed), default=rest.start))
    later = replace(later, overrun=overrun_of(compiled, schedule_of(compiled, later)))

    assert later.overrun <= plan.overrun
    broken = [fault for fault in faults(rest, later) if "stands after" not in fault]
    assert [fault for fault in broken if not fault.startswith(("The plan's craft", "The plan's day"))] == []

"""Slack: how much later an operation may start while the order is kept and nothing gets worse."""

from benchbell.plan.model.compiled_problem import CompiledProblem, compile_problem
from benchbell.plan.model.hours import FAR
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.model.schedule import Schedule, schedule_of
from benchbell.plan.search.right_shift import latest_starts_in_order


def slack(problem: Problem, plan: Plan) -> dict[str, int]:
    """By operation, minutes by which it alone may start later without a later finish, more overrun or more tardiness.

    Nor does a wait get longer than wanted. Other faults of craft are not considered.
    Raises KeyError where the plan names an operation that the problem does not have.
    """
    compiled = compile_problem(problem)
    schedule = schedule_of(compiled, plan)
    last = latest_starts_in_order(compiled, schedule, start_by(compiled, schedule), 0, len(schedule.order))
    return {compiled.ids[i]: last[i] - schedule.start[i] for i in schedule.order}


def start_by(compiled: CompiledProblem, schedule: Schedule) -> dict[int, int]:
    """Operation to the start that it must not pass: a later one means more overrun, or a wait longer than wanted."""
    latest = {i: max(schedule.start[i], by) for i, by in compiled.by.items()}
    lags = [(lag.before, lag.after, lag.most) for lag in compiled.max_lags]
    if compiled.craft:
        lags += [(lag.before, lag.after, lag.most) for lag in compiled.craft.wanted if not lag.open_only]
    for before, after, most in lags:
        latest[after] = min(max(schedule.start[after], schedule.end[before] + most), latest.get(after, FAR))
    return latest

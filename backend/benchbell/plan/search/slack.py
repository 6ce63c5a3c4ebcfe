"""Slack: how much later an operation may start while the order is kept and nothing gets worse."""

from collections import defaultdict

from msgspec.structs import replace

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hands import hours_of_hand
from benchbell.plan.model.hours import FAR
from benchbell.plan.model.problem import Hold, Plan, Problem
from benchbell.plan.model.schedule import Schedule, schedule_of, setups_before
from benchbell.plan.model.which_hands import which_hands
from benchbell.plan.search.right_shift import latest_starts_in_order, latest_with_setup


def slack(problem: Problem, compiled: CompiledProblem, plan: Plan) -> dict[str, int]:
    """By operation, minutes by which it may start later without a later finish, more overrun or more tardiness.

    All may at once. Nor does a wait get longer than wanted; other faults of craft are not considered. Each pair of
    hands keeps its work and its order, so with several there may be more.
    compiled: the problem. Raises KeyError where the plan names an operation that the problem does not have.
    """
    schedule = schedule_of(compiled, plan)
    if problem.hands > 1:
        compiled = with_clamps_in_order(problem, compiled, plan)
    hand = [0] * len(schedule.order)
    for i, pair in zip(schedule.order, which_hands(plan.placed, problem.hands), strict=True):
        hand[i] = pair
    last = latest_starts_in_order(compiled, schedule, start_by(compiled, schedule), 0, len(schedule.order), hand)
    if problem.crew:
        last = while_there(problem, compiled, schedule, last)
    return {compiled.ids[i]: last[i] - schedule.start[i] for i in schedule.order}


def while_there(problem: Problem, compiled: CompiledProblem, schedule: Schedule, last: list[int]) -> list[int]:
    """The latest starts that are no later than given, at which each operation's own hand is there for it."""
    hours = [hours_of_hand(problem, hand) for hand in problem.crew]
    setting = setups_before(compiled, schedule.order)
    there = last.copy()
    for i, hand in enumerate(schedule.hand or ()):
        by = compiled.end(i, last[i])
        latest = latest_with_setup(compiled, hours[hand], i, setting[i], by, last[i])
        there[i] = max(schedule.start[i], latest)
    return there


def start_by(compiled: CompiledProblem, schedule: Schedule) -> dict[int, int]:
    """Operation to the start that it must not pass: a later one means more overrun, or a wait longer than wanted."""
    latest = {i: max(schedule.start[i], by) for i, by in compiled.by.items()}
    lags = [(lag.before, lag.after, lag.most) for lag in compiled.max_lags]
    if compiled.craft:
        lags += [(lag.before, lag.after, lag.most) for lag in compiled.craft.wanted if not lag.open_only]
    for before, after, most in lags:
        latest[after] = min(max(schedule.start[after], schedule.end[before] + most), latest.get(after, FAR))
    return latest


def with_clamps_in_order(problem: Problem, compiled: CompiledProblem, plan: Plan) -> CompiledProblem:
    """The problem in which what takes clamps comes after all that has given such back before it in the plan.

    One pair of hands keeps that by itself.
    """
    at = {placed.op: placed for placed in plan.placed}
    number = {id: n for n, id in enumerate(compiled.ids)}
    of_kind: dict[str, list[Hold]] = defaultdict(list)
    for hold in problem.holds:
        of_kind[hold.kind].append(hold)
    after = [list(pairs) for pairs in compiled.successors]
    for kind, holds in of_kind.items():
        if sum(hold.count for hold in holds) > problem.clamps.get(kind, 0):
            takes = [hold.take for hold in holds if hold.take]
            for give in {hold.give for hold in holds if hold.give}:
                after[number[give]] += [(number[op], 0) for op in takes if at[op].start >= at[give].end and op != give]
    return replace(compiled, successors=after)

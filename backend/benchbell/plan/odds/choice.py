"""Which of the best plans: the one that is soonest done with durations as they may come, not only as planned.

All meet the same luck (common random numbers), so that few samples tell them apart. The first stays unless another is
clearly better: nobody can work to a changing plan.
"""

from collections.abc import Mapping, Sequence

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.model.schedule import Schedule, objective, order_of
from benchbell.plan.odds.draws import drawn_minutes
from benchbell.plan.odds.pace import Pace
from benchbell.plan.odds.retiming import Retiming, retiming_of
from benchbell.plan.odds.samples import durations_of
from benchbell.plan.search.stability import MARGIN
from benchbell.plan.tasks.task import Task

SAMPLES, LEAST_SAMPLES = 36, 6
"""How many re-timings a plan is judged by, and how many at least where there is very much to do."""

SCREENING, FINALISTS = 4, 3
"""Of all samples, one in so many tells which plans are worth the others; and how many are, besides the first."""

MOST_PLACED = 8_000
"""How many operations are placed for one plan, at most."""

SURE = 2
"""Standard errors by which a mean must be better."""

Outcome = tuple[int, int, int]
"""Of one sample: overrun, weighted tardiness, and finish with faults of craft, in minutes."""


def chosen(problem: Problem, tasks: Mapping[str, Task], plans: Sequence[Plan], pace: Pace) -> Plan:
    """The first of these plans, or the one that is clearly better in the mean of its sampled outcomes.

    Several pairs of hands keep the first. tasks: by the problem's operations.
    """
    first, *others = plans
    others = [plan for plan in others if (plan.overrun, plan.late) <= (first.overrun, first.late)]
    if problem.hands > 1 or not others:
        return first
    retiming = retiming_of(problem)
    count = max(LEAST_SAMPLES, min(SAMPLES, MOST_PLACED // len(problem.ops)))
    minutes = drawn_minutes(pace, durations_of(problem, tasks), count)
    few = minutes[: max(2, count // SCREENING)]
    finalists = sorted(others, key=lambda plan: totals(outcomes(retiming, plan, few)))[:FINALISTS]
    luck = {place: outcomes(retiming, plan, minutes) for place, plan in enumerate([first, *finalists])}
    best = min(luck, key=lambda place: totals(luck[place]))
    return [first, *finalists][best] if is_clearly_less(luck[best], luck[0]) else first


def totals(samples: Sequence[Outcome]) -> tuple[int, ...]:
    """The sum of each figure, which compares as its mean does."""
    return tuple(map(sum, zip(*samples, strict=True)))


def outcomes(retiming: Retiming, plan: Plan, minutes: Sequence[list[int]]) -> list[Outcome]:
    """By sample, what comes of the plan's order."""
    compiled = retiming.compiled
    order = order_of(compiled, plan)
    schedules = [retiming.retime(order, sample) for sample in minutes]
    end = compiled.hours.closes[-1]
    return [outcome(compiled, one) if one else (end, end, end) for one in schedules]


def outcome(compiled: CompiledProblem, schedule: Schedule) -> Outcome:
    """What one sample is judged by: the day of the finish says no more than the finish, whose mean is taken."""
    overrun, late, _, cost, _ = objective(compiled, schedule)
    return overrun, late, cost


def is_clearly_less(new: Sequence[Outcome], old: Sequence[Outcome]) -> bool:
    """Whether new is less in the first figure whose means clearly differ: by the margin, and beyond chance."""
    count = len(new)
    for after, before in zip(zip(*new, strict=True), zip(*old, strict=True), strict=True):
        gains: list[int] = [b - a for a, b in zip(after, before, strict=True)]
        gain = sum(gains)
        spread = count * sum(one * one for one in gains) - gain * gain
        # The mean is SURE times its standard error or more, in whole numbers, so that every machine says the same.
        if abs(gain) >= MARGIN * count and gain * gain * (count - 1) >= SURE * SURE * spread:
            return gain > 0
    return False

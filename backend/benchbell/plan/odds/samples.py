"""Sampled finishes: a plan's order re-timed with drawn durations, once for each sample."""

from collections.abc import Mapping, Sequence

from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.model.schedule import order_of
from benchbell.plan.odds.draws import Duration, drawn_minutes
from benchbell.plan.odds.pace import Pace
from benchbell.plan.odds.retiming import retiming_of
from benchbell.plan.odds.timings import kind_of
from benchbell.plan.tasks.task import Task

SAMPLES, LEAST_SAMPLES = 200, 20
"""How many re-timings a forecast rests on, and how many at least where there is very much to do."""

MOST_PLACED = {True: 50_000, False: 8_000}
"""How many operations are placed in all samples together, at most: for one pair of hands; for several."""


def sampled_finishes(problem: Problem, tasks: Mapping[str, Task], plan: Plan, pace: Pace) -> dict[str, list[int]]:
    """Build to its finish in minutes, by sample. tasks: by the problem's operations.

    A sample for which the hours are too few is done when they end.
    """
    builds = [tasks[op.id].build for op in problem.ops]
    if not builds:
        return {}
    retiming = retiming_of(problem)
    compiled, order = retiming.compiled, order_of(retiming.compiled, plan)
    found: dict[str, list[int]] = {build: [] for build in builds}
    for minutes in drawn_minutes(pace, durations_of(problem, tasks), samples_for(problem)):
        schedule = retiming.retime(order, minutes)
        ends = schedule.end if schedule else [compiled.hours.closes[-1]] * len(order)
        finishes: dict[str, int] = {}
        for build, end, run in zip(builds, ends, compiled.runs, strict=True):
            finishes[build] = max(finishes.get(build, 0), end + run)
        for build, finish in finishes.items():
            found[build].append(finish)
    return found


def durations_of(problem: Problem, tasks: Mapping[str, Task]) -> Sequence[Duration]:
    """What is drawn for each operation of the problem."""
    return [
        Duration(op.id, tasks[op.id].minutes, tasks[op.id].build, kind_of(tasks[op.id].operation, tasks[op.id].act))
        for op in problem.ops
    ]


def samples_for(problem: Problem) -> int:
    """How many samples are worth their time."""
    return max(LEAST_SAMPLES, min(SAMPLES, MOST_PLACED[problem.hands == 1] // max(1, len(problem.ops))))

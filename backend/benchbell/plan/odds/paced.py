"""A problem with the minutes that work is expected to take in this shop, in place of the recipe's.

A plan that is made with too few minutes is late from its first hour, and changes every time that it is.
"""

from collections.abc import Mapping
from math import ceil, exp

from msgspec.structs import replace

from benchbell.plan.model.problem import Op, Problem
from benchbell.plan.odds.pace import Pace, expected_log
from benchbell.plan.odds.timings import kind_of
from benchbell.plan.tasks.task import Task

ENOUGH = 5
"""With fewer timed operations the recipe's minutes stay as they are written."""

MOST = 2.0
"""Times the recipe's minutes, or parts of them, that a plan counts with; a problem's hours are asked for as long."""


def at_pace(problem: Problem, tasks: Mapping[str, Task], pace: Pace) -> Problem:
    """The problem at the shop's pace, as far as it is known. tasks: by the problem's operations.

    What fits into a day as the recipe has it, with any setup before it, still does.
    """
    if pace.timed < ENOUGH:
        return problem
    longest = max((window.end - window.start for window in problem.windows), default=0)
    setting = {
        station.id: max((minutes for row in station.minutes.values() for minutes in row.values()), default=0)
        for station in problem.stations
    }

    def paced(op: Op) -> Op:
        log = expected_log(pace, tasks[op.id].build, kind_of(tasks[op.id].operation, tasks[op.id].act))
        minutes = ceil(op.minutes * min(MOST, max(1 / MOST, exp(log))))
        room = longest - setting.get(op.station, 0)
        return replace(op, minutes=minutes if op.breakable else min(minutes, max(op.minutes, room)))

    return replace(problem, ops=tuple(map(paced, problem.ops)))

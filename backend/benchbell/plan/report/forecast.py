"""When each build will be done: as planned, likely, and surely, from its sampled finishes."""

from bisect import bisect_right
from collections.abc import Callable, Sequence

from benchbell.plan.model.problem import NIGHT, Plan, Window
from benchbell.plan.odds.pace import Pace
from benchbell.plan.odds.samples import sampled_finishes
from benchbell.plan.report.messages import Forecast
from benchbell.plan.tasks.from_builds import BuildsProblem
from benchbell.plan.tasks.task import OpenBuild, Unplanned

TOO_SELDOM = 0.4
"""A day on which a build is done more seldom is not called likely, however near it is to half the time."""


def forecasts(
    source: BuildsProblem,
    plan: Plan,
    builds: Sequence[OpenBuild],
    moment: Callable[[int], int],
    pace: Pace,
    unplanned: Sequence[Unplanned] = (),
) -> tuple[Forecast, ...]:
    """A forecast for each build that has something left to do, the earliest finish first.

    moment: a minute of the problem to server time in ms. unplanned: a build of which something is, has no finish.
    """
    unfinished = {one.build for one in unplanned}
    planned = finishes(source, plan)
    sampled = sampled_finishes(source.problem, source.tasks, plan, pace)
    opens = day_opens(source.problem.windows)
    found = [
        forecast(build, moment(planned[build.id]), [moment(one) for one in sorted(sampled[build.id])], days, pace)
        for days in [[moment(one) for one in opens]]
        for build in builds
        if build.id in planned and build.id not in unfinished
    ]
    return tuple(sorted(found, key=lambda one: one.finish))


def forecast(build: OpenBuild, finish: int, sampled: Sequence[int], days: Sequence[int], pace: Pace) -> Forecast:
    """The forecast of one build. sampled: its finishes, sorted; days: when each day begins; all in ms."""
    count = len(sampled)
    in_time = None if build.due is None else bisect_right(sampled, build.due)
    return Forecast(
        build=build.id,
        name=build.name,
        finish=finish,
        soonest=sampled[count // 10],
        likely=likely(sampled, days),
        latest=sampled[-1 - count // 10],
        timed=pace.timed,
        due=build.due,
        odds=None if in_time is None else round(10 * in_time / count),
    )


def likely(sampled: Sequence[int], days: Sequence[int]) -> int:
    """The moment that is kept about half the time, on the day whose end is.

    That day is the median's, or one before it that is nearer to half; then its last finish.
    """
    count = len(sampled)
    median = sampled[count // 2]
    ends = sorted({bisect_right(days, one) for one in sampled if one <= median})
    shares = {day: sum(bisect_right(days, one) <= day for one in sampled) / count for day in ends}
    day = min((day for day in ends if shares[day] >= TOO_SELDOM), key=lambda day: abs(shares[day] - 1 / 2))
    return min(median, max(one for one in sampled if bisect_right(days, one) <= day))


def day_opens(windows: Sequence[Window]) -> list[int]:
    """When each working day begins, in minutes: at a window that opens after a night."""
    found: list[int] = []
    closed = None
    for window in windows:
        if closed is None or window.start - closed >= NIGHT:
            found.append(window.start)
        closed = window.end
    return found


def finishes(source: BuildsProblem, plan: Plan) -> dict[str, int]:
    """Build to the end of its last task as planned, in minutes."""
    found: dict[str, int] = {}
    for one in plan.placed:
        build = source.tasks[one.op].build
        found[build] = max(found.get(build, 0), one.free)
    return found

"""When each build will be done: as planned, and a range from how long operations really took."""

from collections.abc import Callable, Sequence
from math import ceil

from msgspec.structs import replace

from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Plan
from benchbell.plan.model.schedule import order_of, plan_of
from benchbell.plan.report.messages import Forecast
from benchbell.plan.search.serial_generation import generate_serial
from benchbell.plan.tasks.from_builds import BuildsProblem
from benchbell.plan.tasks.task import OpenBuild

ENOUGH = 5
"""With fewer timed operations than these the range is a guess."""

GUESS = (0.8, 1.5)
"""Real over planned time while the range is a guess. Common practice, no source."""


def forecasts(
    source: BuildsProblem,
    plan: Plan,
    builds: Sequence[OpenBuild],
    moment: Callable[[int], int],
    shares: Sequence[float],
) -> tuple[Forecast, ...]:
    """A forecast for each build that has something left to do, the earliest finish first.

    moment: a minute of the problem to server time in ms. shares: real over planned times of timed operations.
    """
    fast, slow = share_range(shares)
    soonest, latest = finishes(source, at_pace(source, plan, fast)), finishes(source, at_pace(source, plan, slow))
    planned = finishes(source, plan)
    found = [
        Forecast(
            build=build.id,
            name=build.name,
            finish=moment(planned[build.id]),
            soonest=moment(min(soonest[build.id], planned[build.id])),
            latest=moment(max(latest[build.id], planned[build.id])),
            timed=len(shares) if len(shares) >= ENOUGH else 0,
            due=build.due,
        )
        for build in builds
        if build.id in planned
    ]
    return tuple(sorted(found, key=lambda forecast: forecast.finish))


def share_range(shares: Sequence[float]) -> tuple[float, float]:
    """Real over planned time: the fastest and the slowest fifth of what was timed cut off."""
    if len(shares) < ENOUGH:
        return GUESS
    ordered = sorted(shares)
    fifth = len(ordered) // 5
    return ordered[fifth], ordered[-1 - fifth]


def at_pace(source: BuildsProblem, plan: Plan, pace: float) -> Plan:
    """The plan's order with every operation at this pace; the plan itself where that order then is infeasible."""
    ops = tuple(replace(op, minutes=max(1, ceil(op.minutes * pace))) for op in source.problem.ops)
    compiled = compile_problem(replace(source.problem, ops=ops))
    schedule = generate_serial(compiled, order_of(compiled, plan))
    return plan if schedule is None else plan_of(compiled, schedule, plan.bound)


def finishes(source: BuildsProblem, plan: Plan) -> dict[str, int]:
    """Build to the end of its last task, in minutes."""
    found: dict[str, int] = {}
    for one in plan.placed:
        build = source.tasks[one.op].build
        found[build] = max(found.get(build, 0), one.free)
    return found

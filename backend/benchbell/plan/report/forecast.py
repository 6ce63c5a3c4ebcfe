"""When each build will be done: as planned, and a range from how long things really took."""

from collections.abc import Callable, Sequence
from math import ceil

from msgspec.structs import replace

from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Plan
from benchbell.plan.report.messages import Forecast
from benchbell.plan.search.serial_generation import plan_of, timed
from benchbell.plan.tasks.from_builds import Posed
from benchbell.plan.tasks.task import OpenBuild

ENOUGH = 5
"""Fewer timed operations than these say too little."""

GUESS = (0.8, 1.5)
"""Real over planned time while nothing was timed. Common practice, no source."""


def forecasts(
    posed: Posed, plan: Plan, builds: Sequence[OpenBuild], moment: Callable[[int], int], shares: Sequence[float]
) -> tuple[Forecast, ...]:
    """A forecast for each build that has something left to do, soonest first."""
    low, high = spread(shares)
    soonest, latest = finishes(posed, at_pace(posed, plan, low)), finishes(posed, at_pace(posed, plan, high))
    planned = finishes(posed, plan)
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


def spread(shares: Sequence[float]) -> tuple[float, float]:
    """Real over planned time, from the brisk fifth to the slow fifth of what was timed."""
    if len(shares) < ENOUGH:
        return GUESS
    ordered = sorted(shares)
    fifth = len(ordered) // 5
    return ordered[fifth], ordered[-1 - fifth]


def at_pace(posed: Posed, plan: Plan, share: float) -> Plan:
    """The same order with every operation taking that share of its planned time; the plan where it cannot be."""
    ops = tuple(replace(op, minutes=max(1, ceil(op.minutes * share))) for op in posed.problem.ops)
    shop = compile_problem(replace(posed.problem, ops=ops))
    number = {id: n for n, id in enumerate(shop.ids)}
    walk = timed(shop, [number[one.op] for one in plan.placed])
    return plan if walk is None else plan_of(shop, walk, plan.bound)


def finishes(posed: Posed, plan: Plan) -> dict[str, int]:
    """By build, the end of its last act."""
    found: dict[str, int] = {}
    for one in plan.placed:
        build = posed.acts[one.op].build
        found[build] = max(found.get(build, 0), one.free)
    return found

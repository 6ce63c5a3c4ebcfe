"""Builds in a shop that is open from eight to five on weekdays, UTC, and their presented plan."""

from datetime import UTC, datetime
from functools import partial

from benchbell.plan.advise import PlanRequest, advise
from benchbell.plan.odds.pace import UNTIMED
from benchbell.plan.planner import plan_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random
from benchbell.planner.shop_hours import moment_text, read_hours, stretches
from plan import open_builds
from plan.open_builds import MINUTE

HOUR = 60 * MINUTE
MONDAY = int(datetime(2026, 12, 7, 8, tzinfo=UTC).timestamp() * 1000)
"""Eight o'clock, when the shop opens."""


def build_of(text, *whats, began=MONDAY, now=MONDAY, **more):
    """A build that began when the shop opened."""
    return open_builds.build_of(text, *whats, began=began, now=now, **more)


def request_for(*builds, now=MONDAY, clamps=None, pace=UNTIMED, week=None):
    """The request for the plan of such a shop."""
    hours = partial(stretches, read_hours(week), UTC, now)
    return PlanRequest(builds, hours, clamps or {}, now, lambda ms, at: moment_text(ms, at, UTC), pace=pace)


def presented(*builds, **more):
    """Its presented plan."""
    return advise(request_for(*builds, **more), best_of_a_hundred)[0]


def best_of_a_hundred(problem):
    """The best after a hundred tries, the same on every machine."""
    return [plan_for(problem, tries(100), Random(1))]


def reasons(plan):
    """Operation to its reason; taking clamps off under the operation's name and "off"."""
    return {
        step.operation.partition("/")[2] + (" off" if step.act == "clamps-off" else ""): step.reason
        for step in plan.steps
    }

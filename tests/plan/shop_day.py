"""Builds in a shop that is open from eight to five on weekdays, UTC, and their presented plan."""

from datetime import UTC, datetime
from functools import partial

from benchbell.commands.plan import new_build
from benchbell.plan.advise import PlanRequest, advise
from benchbell.plan.odds.pace import UNTIMED
from benchbell.plan.planner import plan_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random
from benchbell.plan.tasks.from_builds import problem_from_builds
from benchbell.planner.shop_hours import moment_text, read_hours, stretches
from msgspec.structs import replace
from plan import open_builds
from plan.open_builds import MINUTE
from shipped import FOLDER, compile_file

HOUR = 60 * MINUTE
MONDAY = int(datetime(2026, 12, 7, 8, tzinfo=UTC).timestamp() * 1000)
"""Eight o'clock, when the shop opens."""


def build_of(text, *whats, began=MONDAY, now=MONDAY, **more):
    """A build that began when the shop opened."""
    return open_builds.build_of(text, *whats, began=began, now=now, **more)


def request_for(*builds, now=MONDAY, clamps=None, pace=UNTIMED, week=None, hands=1):
    """The request for the plan of such a shop."""
    hours = partial(stretches, read_hours(week), UTC, now)
    say = partial(moment_text, zone=UTC)
    return PlanRequest(builds, hours, clamps or {}, now, say, hands, pace)


def presented(*builds, **more):
    """Its presented plan."""
    return advise(request_for(*builds, **more), best_of_a_hundred)[0]


def best_of_a_hundred(problem):
    """The best after a hundred tries, the same on every machine."""
    return [plan_for(problem, tries(100), Random(1))]


def reasons(plan):
    """Operation to its reason; taking clamps off under the operation's name and "off", squeeze-out and "cleaned"."""
    acts = {"work": "", "squeeze-out": " cleaned", "clamps-off": " off"}
    return {step.operation.partition("/")[2] + acts[step.act]: step.reason for step in plan.steps}


def shipped_builds(*names, pieces=1, due=None):
    """New builds of shipped recipes, the first promised for `due`."""
    builds = [new_build(name, compile_file(FOLDER / f"{name}.toml", pieces), MONDAY, name) for name in names]
    return [replace(builds[0], due=due), *builds[1:]]


def shipped_problem(*names, pieces=1, hands=1, due=None):
    """The problem of such builds."""
    builds = shipped_builds(*names, pieces=pieces, due=due)
    return problem_from_builds(builds, request_for(*builds).hours, {}, MONDAY, hands).problem

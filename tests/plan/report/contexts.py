"""Contexts of plans, as found, or with tasks put at other minutes by hand."""

from datetime import UTC

from benchbell.plan.report.presentation import context_of
from benchbell.plan.tasks.from_builds import problem_from_builds
from benchbell.planner.shop_hours import moment_text
from msgspec.structs import replace
from plan.open_builds import MINUTE
from plan.shop_day import MONDAY, best_of_a_hundred, request_for


def say(minute, at):
    """A minute after Monday 08:00 in words."""
    return moment_text(MONDAY + minute * MINUTE, MONDAY + at * MINUTE, UTC)


def context_for(*builds, week=None, starts=None, hands=1):
    """The context of the plan of builds. starts: by key of a task, when it is put instead."""
    source = problem_from_builds(builds, request_for(*builds, week=week).hours, {}, MONDAY, hands)
    plan = best_of_a_hundred(source.problem)[0]
    placed = sorted((put(one, (starts or {}).get(one.op, one.setup)) for one in plan.placed), key=lambda it: it.setup)
    return context_of(source, replace(plan, placed=tuple(placed)), builds, say)


def put(one, at):
    """The placed task taken up at a minute."""
    by = at - one.setup
    return replace(one, setup=at, start=one.start + by, end=one.end + by, free=one.free + by)

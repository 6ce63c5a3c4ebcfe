"""Builds in a shop that is open from eight to five on weekdays, UTC, and their presented plan."""

from datetime import UTC, datetime
from functools import partial

from benchbell.bench.book import Book
from benchbell.bench.clocks import clocks
from benchbell.bench.happenings import Happening, Stamp, Started
from benchbell.bench.state import bench_of
from benchbell.plan.advise import PlanRequest, advise
from benchbell.plan.planner import plan_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random
from benchbell.plan.tasks.task import OpenBuild
from benchbell.planner.shop_hours import moment_text, read_hours, stretches
from small_recipes import compiled

MINUTE = 60_000
HOUR = 60 * MINUTE
MONDAY = int(datetime(2026, 12, 7, 8, tzinfo=UTC).timestamp() * 1000)
"""Eight o'clock, when the shop opens."""


def build_of(text, *whats, pieces=1, id="b", began=MONDAY, now=MONDAY, due=None):
    """A build after these happenings, a minute apart, the first of them a minute after it began."""
    sheet = compiled(text, pieces)
    book = Book()
    for n, what in enumerate([Started("Stool", sheet, text, {}), *whats]):
        book.add(Happening(f"h{n}", n + 1, Stamp(began + n * MINUTE, 0, "0" * 16), id, (), what))
    bench = bench_of(book)
    return OpenBuild(id, "Stool", sheet, bench, tuple(clocks(sheet, bench, [], now)), due)


def request_for(*builds, now=MONDAY, clamps=None, shares=(), week=None):
    """The request for the plan of such a shop."""
    hours = partial(stretches, read_hours(week), UTC, now)
    return PlanRequest(builds, hours, clamps or {}, now, lambda ms, at: moment_text(ms, at, UTC), shares=shares)


def presented(*builds, **more):
    """Its presented plan."""
    return advise(request_for(*builds, **more), best_of_a_hundred)[0]


def best_of_a_hundred(problem):
    """The best after a hundred tries, the same on every machine."""
    return plan_for(problem, tries(100), Random(1))


def reasons(plan):
    """Operation to its reason; taking clamps off under the operation's name and "off"."""
    return {
        step.operation.partition("/")[2] + (" off" if step.act == "clamps-off" else ""): step.reason
        for step in plan.steps
    }

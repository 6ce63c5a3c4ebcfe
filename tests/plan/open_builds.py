"""Open builds as the planner is given them."""

from benchbell.bench.book import Book
from benchbell.bench.clocks import clocks
from benchbell.bench.happenings import Happening, Stamp, Started
from benchbell.bench.state import bench_of
from benchbell.plan.tasks.from_builds import problem_from_builds
from benchbell.plan.tasks.task import OpenBuild
from small_recipes import compiled

MINUTE = 60_000


def build_of(text, *whats, pieces=1, id="b", began=0, now=0, due=None):
    """A build after these happenings, a minute apart, the first of them a minute after it began."""
    sheet = compiled(text, pieces)
    book = Book()
    for n, what in enumerate([Started("Stool", sheet, text, {}), *whats]):
        book.add(Happening(f"h{n}", n + 1, Stamp(began + n * MINUTE, 0, "0" * 16), id, (), what))
    bench = bench_of(book)
    return OpenBuild(id, "Stool", sheet, bench, tuple(clocks(sheet, bench, [], now)), due)


def source_of(*builds, clamps=None, now=0, **more):
    """The problem, with hands at work around the clock."""
    return problem_from_builds(builds, lambda minutes: [(now, now + minutes * MINUTE)], clamps or {}, now, **more)

"""Open builds as input for the planner."""

from collections.abc import Mapping
from operator import itemgetter
from typing import Annotated, Any

import msgspec
import structlog
from msgspec import Meta, Struct

from benchbell.alerts.running_builds import RunningBuilds
from benchbell.bench.book import Book, order
from benchbell.bench.clocks import clocks
from benchbell.bench.happenings import SHOP
from benchbell.bench.state import Bench, bench_of
from benchbell.durations import DAY_MS
from benchbell.plan.tasks.task import OpenBuild, Unplanned, not_planned

log = structlog.get_logger()


class Due(Struct, frozen=True):
    """A build's due date. by: server time in ms. weight: its importance beside other builds, 1 to 9."""

    by: Annotated[int, Meta(ge=0, le=1 << 47)]
    weight: Annotated[int, Meta(ge=1, le=9)] = 1


def open_builds(builds: RunningBuilds, now: int) -> tuple[tuple[OpenBuild, ...], tuple[Unplanned, ...]]:
    """All builds neither finished nor closed, with their running clocks at `now` (ms) and due dates; and those failed.

    Left out is one whose clocks were started far ahead of now: no plan can wait for those.
    """
    found, failed = [], dict(builds.failed)
    for id, book in by_beginning(builds.books):
        try:
            one = None if id in failed else open_build(id, book, builds, now)
        except Exception as error:
            log.error("a build cannot be planned", build=id, exc_info=error)
            failed[id] = str(error)
        else:
            found += [] if one is None else [one]
    return tuple(found), tuple(not_planned(id) for id in failed if id != SHOP)


def by_beginning(books: Mapping[str, Book]) -> list[tuple[str, Book]]:
    """The builds that have begun, in that order, as the phone has them: of equals the planner takes the first."""
    begun = [(order(h), id, book) for id, book in books.items() if (h := book.latest("started"))]
    return [(id, book) for _, id, book in sorted(begun, key=itemgetter(0))]


def open_build(id: str, book: Book, builds: RunningBuilds, now: int) -> OpenBuild | None:
    """A build for the planner; None where nothing of it is to be planned at `now` (ms)."""
    bench, started = bench_of(book), book.started()
    if bench is None or started is None or bench.closed or bench.finished or is_ahead(bench, now):
        return None
    running = clocks(started.sheet, bench, builds.shop.readings, now)
    due, weight = due_of(builds.shop.settings, id)
    return OpenBuild(id, started.name, started.sheet, bench, tuple(running), due, weight)


def is_ahead(bench: Bench, now: int) -> bool:
    """Whether something was done more than a day after `now` (ms), which only a wrong clock can have stamped."""
    return any(ms > now + DAY_MS for state in bench.operations.values() for ms in state.marks.values())


def due_of(kept: Mapping[str, Any], build: str) -> tuple[int | None, int]:
    """Due date (ms) and weight from the setting "due/BUILD"; (None, 1) when there is none or it is invalid."""
    try:
        due = msgspec.convert(kept.get(f"due/{build}"), Due | None)
    except msgspec.ValidationError:
        return None, 1
    return (due.by, due.weight) if due else (None, 1)

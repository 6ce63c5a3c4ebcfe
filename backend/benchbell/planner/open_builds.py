"""Open builds as input for the planner, and how long operations really take in this shop."""

import asyncio
from collections.abc import Mapping
from typing import Annotated, Any

import msgspec
import structlog
from msgspec import Meta, Struct

from benchbell.alerts.running_builds import RunningBuilds
from benchbell.bench.book import CLOCK, Book
from benchbell.bench.clocks import clocks
from benchbell.bench.happenings import SHOP
from benchbell.bench.state import Bench, bench_of
from benchbell.buildlog.story import build_log
from benchbell.durations import DAY_MS
from benchbell.plan.tasks.task import OpenBuild, Unplanned, not_planned
from benchbell.store.build_book import book_of_build
from benchbell.store.records import Records

log = structlog.get_logger()

MOST_LEARNED = 20
"""The newest builds from which real times are learned."""


class Due(Struct, frozen=True):
    """A build's due date. by: server time in ms. weight: its importance beside other builds, 1 to 9."""

    by: Annotated[int, Meta(ge=0, le=1 << 47)]
    weight: Annotated[int, Meta(ge=1, le=9)] = 1


def open_builds(builds: RunningBuilds, now: int) -> tuple[tuple[OpenBuild, ...], tuple[Unplanned, ...]]:
    """All builds neither finished nor closed, with their running clocks at `now` (ms) and due dates; and those failed.

    Left out is one whose clocks were started far ahead of now: no plan can wait for those.
    """
    found, failed = [], dict(builds.failed)
    for id, book in builds.books.items():
        try:
            one = None if id in failed else open_build(id, book, builds, now)
        except Exception as error:
            log.error("a build cannot be planned", build=id, exc_info=error)
            failed[id] = str(error)
        else:
            found += [] if one is None else [one]
    return tuple(found), tuple(not_planned(id) for id in failed if id != SHOP)


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


class Paces:
    """Ratios of real to planned time, by build. A build that is not open any more is read only once."""

    def __init__(self) -> None:
        self.by_build: dict[str, tuple[float, ...]] = {}

    async def refresh(self, records: Records, builds: RunningBuilds) -> tuple[float, ...]:
        """The ratios of the MOST_LEARNED newest builds, read where they are missing. Raises StoreError."""
        newest = (await records.recorded_builds())[-MOST_LEARNED:]
        for build in newest:
            if build in builds.books:
                self.by_build[build] = await asyncio.to_thread(paces_of, build, builds.books[build])
            elif build not in self.by_build:
                self.by_build[build] = await asyncio.to_thread(paces_of, build, await book_of_build(records, build))
        return tuple(pace for build in newest for pace in self.by_build[build])


def paces_of(build: str, book: Book) -> tuple[float, ...]:
    """The ratios of one build, cached until its book grows; none where its log cannot be worked out."""
    try:
        paces: tuple[float, ...] = book.remember(
            "paces", len(book.by_id) + book.changes_of(CLOCK), lambda: measured_paces(build, book)
        )
    except Exception as error:
        log.error("a build teaches no times", build=build, exc_info=error)
        return ()
    return paces


def measured_paces(build: str, book: Book) -> tuple[float, ...]:
    """Real over planned time of each operation whose real time was recorded."""
    log = build_log(build, book, {})
    return tuple(
        op.hands_minutes / op.planned_minutes
        for op in (log.operations if log else ())
        if op.hands_minutes is not None and op.planned_minutes > 0
    )

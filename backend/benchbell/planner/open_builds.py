"""Builds that go on, as the planner wants them, and how long things really take in this shop."""

import asyncio
from collections.abc import Mapping
from typing import Annotated, Any

import msgspec
from msgspec import Meta, Struct

from benchbell.alerts.running_builds import RunningBuilds
from benchbell.bench.book import Book
from benchbell.bench.clocks import clocks
from benchbell.bench.state import bench_of
from benchbell.buildlog.story import build_log
from benchbell.plan.tasks.task import OpenBuild
from benchbell.store.records import Records

MOST_LEARNED = 20
"""So many builds, the newest, are looked at for how long things really take."""


class Due(Struct, frozen=True):
    """By when a build is promised, in ms, and how much that matters beside others, 1 to 9."""

    by: Annotated[int, Meta(ge=0, le=1 << 47)]
    weight: Annotated[int, Meta(ge=1, le=9)] = 1


def open_builds(builds: RunningBuilds, now: int) -> tuple[OpenBuild, ...]:
    """With their running clocks, and by when they are promised."""
    found = []
    for id, book in builds.books.items():
        bench, started = bench_of(book), book.started()
        if bench is None or started is None or bench.closed or bench.finished:
            continue
        running = clocks(started.sheet, bench, builds.shop.readings, now)
        due, weight = promised(builds.shop.settings, id)
        found.append(OpenBuild(id, started.name, started.sheet, bench, tuple(running), due, weight))
    return tuple(found)


def promised(kept: Mapping[str, Any], build: str) -> tuple[int | None, int]:
    """The setting "due/BUILD"; nobody waits where it is none of that form."""
    try:
        due = msgspec.convert(kept.get(f"due/{build}"), Due | None)
    except msgspec.ValidationError:
        return None, 1
    return (due.by, due.weight) if due else (None, 1)


class Paces:
    """Real over planned time of operations that were timed, by build; a build that is over is read once."""

    def __init__(self) -> None:
        self.by_build: dict[str, tuple[float, ...]] = {}

    async def look(self, records: Records, builds: RunningBuilds) -> tuple[float, ...]:
        """Those of the newest builds."""
        newest = (await records.recorded_builds())[-MOST_LEARNED:]
        for build in newest:
            if build in builds.books:
                self.by_build[build] = await asyncio.to_thread(paces_of, build, builds.books[build])
            elif build not in self.by_build:
                self.by_build[build] = await asyncio.to_thread(
                    paces_of, build, Book(await records.happenings_of(build))
                )
        return tuple(pace for build in newest for pace in self.by_build[build])


def paces_of(build: str, book: Book) -> tuple[float, ...]:
    """Of one build; worked out again only after more happenings."""
    paces: tuple[float, ...] = book.remember("paces", len(book.by_id), lambda: timed(build, book))
    return paces


def timed(build: str, book: Book) -> tuple[float, ...]:
    """Real over planned time of each operation whose time was recorded."""
    log = build_log(build, book, {})
    return tuple(
        op.hands_minutes / op.planned_minutes
        for op in (log.operations if log else ())
        if op.hands_minutes is not None and op.planned_minutes > 0
    )

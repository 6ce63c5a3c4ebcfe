"""How long operations really took in this shop, read from the logs of its newest builds."""

import asyncio
from collections.abc import Iterable, Sequence
from datetime import tzinfo
from itertools import pairwise

import structlog
from msgspec import Struct
from msgspec.structs import replace

from benchbell.alerts.running_builds import RunningBuilds
from benchbell.bench.book import CLOCK, Book
from benchbell.bench.standing import setting_of
from benchbell.bench.state import bench_of
from benchbell.buildlog.hands import Share, Stretch, shared, stretches_of
from benchbell.durations import MINUTE_MS
from benchbell.plan.model.problem import NIGHT
from benchbell.plan.odds.timings import Timing, kind_of
from benchbell.plan.tasks.stations import setting_minutes
from benchbell.planner.shop_hours import Week, stretches
from benchbell.recipe.sheet import Operation, Sheet
from benchbell.store.build_book import book_of_build
from benchbell.store.records import Records

log = structlog.get_logger()

MOST_LEARNED = 20
"""The newest builds from which real times are learned."""

NIGHT_MS = NIGHT * MINUTE_MS
"""For so long and longer the shop is closed over a night; nobody works on over it."""


class Span(Struct, frozen=True):
    """An operation in hand [began, ended), in ms. timing: what is learned from it, its real minutes still to be told.

    person: of the timing, is the device that began it. shares: of that time, what was for this operation.
    """

    timing: Timing
    began: int
    ended: int
    shares: Sequence[Share]


class Timings:
    """What was timed, by build. A build that is not open any more is read only once."""

    def __init__(self) -> None:
        self.by_build: dict[str, tuple[Span, ...]] = {}

    async def refresh(
        self, records: Records, builds: RunningBuilds, week: Week, zone: tzinfo | None
    ) -> tuple[Timing, ...]:
        """Those of the MOST_LEARNED newest builds, the oldest first, read where they are missing. Raises StoreError."""
        newest = (await records.recorded_builds())[-MOST_LEARNED:]
        for build in newest:
            if build in builds.books:
                self.by_build[build] = await asyncio.to_thread(spans_of, build, builds.books[build])
            elif build not in self.by_build:
                self.by_build[build] = await asyncio.to_thread(spans_of, build, await book_of_build(records, build))
        spans = [self.by_build[build] for build in newest]
        return await asyncio.to_thread(lambda: tuple(one for of in spans for one in timed(of, week, zone)))


def spans_of(build: str, book: Book) -> tuple[Span, ...]:
    """The spans of one build, cached until its book grows; none where its log cannot be worked out."""
    try:
        spans: tuple[Span, ...] = book.remember(
            "spans", len(book.by_id) + book.changes_of(CLOCK), lambda: recorded_spans(build, book)
        )
    except Exception as error:
        log.error("a build teaches no times", build=build, exc_info=error)
        return ()
    return spans


def recorded_spans(build: str, book: Book) -> tuple[Span, ...]:
    """A span for each operation whose real time was recorded, in their order.

    What a person has in hand at once shares the time, whatever it is: so that no minute is told twice.
    """
    started, bench = book.started(), bench_of(book)
    if started is None or bench is None:
        return ()
    in_hand = sorted(stretches_of(started.sheet, bench, book), key=lambda one: one.start)
    planned = planned_minutes(started.sheet, [one.operation for one in in_hand])
    by_person: dict[str, list[Stretch]] = {}
    for one in in_hand:
        by_person.setdefault(one.who, []).append(one)
    found = [
        Span(Timing(build, kind_of(one.operation), one.who, planned[one.operation.id], 0), one.start, one.end, shares)
        for group in by_person.values()
        for one, shares in shared(group)
    ]
    return tuple(sorted(found, key=lambda span: span.began))


def planned_minutes(sheet: Sheet, worked: Iterable[Operation]) -> dict[str, float]:
    """By operation, the planned minutes of what was timed of it. worked: in the order in which they began.

    A named setup is recorded by itself, before the operation. A stop without a name is set within it, but only once
    for the same operation of several pieces.
    """
    planned: dict[str, float] = {}
    standing: dict[str, str] = {}
    for op in worked:
        setting = setting_of(sheet, op)
        is_set = op.setup or standing.get(op.station) == setting
        planned[op.id] = op.minutes - (setting_minutes(op) if is_set else 0)
        standing[op.station] = setting or standing.get(op.station, "")
    return planned


def timed(spans: Iterable[Span], week: Week, zone: tzinfo | None) -> list[Timing]:
    """The spans of one build with their real minutes, without nights."""
    return [replace(span.timing, real=real_ms(span, nights(span, week, zone)) / MINUTE_MS) for span in spans]


def real_ms(span: Span, closed: Sequence[tuple[int, int]]) -> float:
    """The ms that were for the operation of a span, without those in which the shop was closed, [start, end) each."""
    return sum(
        share.part
        * (
            share.end
            - share.start
            - sum(max(0, min(share.end, end) - max(share.start, start)) for start, end in closed)
        )
        for share in span.shares
    )


def nights(span: Span, week: Week, zone: tzinfo | None) -> list[tuple[int, int]]:
    """The span's nights, ms: each from a closing to an opening that both fall into it."""
    if span.ended - span.began < NIGHT_MS:
        return []
    hours = stretches(week, zone, span.began, (span.ended - span.began) // MINUTE_MS)
    return [
        (closes, opens)
        for (_, closes), (opens, _) in pairwise(hours)
        if opens - closes >= NIGHT_MS and span.began <= closes and opens <= span.ended
    ]

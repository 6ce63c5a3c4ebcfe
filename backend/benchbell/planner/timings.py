"""How long operations really took in this shop, read from the logs of its newest builds."""

import asyncio
from collections.abc import Sequence
from datetime import tzinfo
from itertools import pairwise

import structlog
from msgspec import Struct
from msgspec.structs import replace

from benchbell.alerts.running_builds import RunningBuilds
from benchbell.bench.book import CLOCK, Book
from benchbell.buildlog.story import build_log
from benchbell.durations import HOUR_MS, MINUTE_MS
from benchbell.plan.odds.timings import Timing, kind_of
from benchbell.planner.shop_hours import Week, stretches
from benchbell.store.build_book import book_of_build
from benchbell.store.records import Records

log = structlog.get_logger()

MOST_LEARNED = 20
"""The newest builds from which real times are learned."""

NIGHT_MS = 4 * HOUR_MS
"""For so long and longer the shop is closed over a night; nobody works on over it."""


class Span(Struct, frozen=True):
    """An operation in hand [began, ended), in ms. timing: what is learned from it, its real minutes still to be told.

    person: of the timing, is the device that began it.
    """

    timing: Timing
    began: int
    ended: int


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
    """A span for each operation whose real time was recorded, in their order."""
    started, story = book.started(), build_log(build, book, {})
    if started is None or story is None:
        return ()
    found = []
    for op, told in zip(started.sheet.operations, story.operations, strict=True):
        if told.hands_minutes is not None and told.began_ms is not None:
            began = book.latest("began", op.id)
            planned = op.minutes - (op.setup_minutes if op.setup else 0)
            timing = Timing(build, kind_of(op), began.at.device if began else "", planned, 0)
            found.append(Span(timing, told.began_ms, told.began_ms + round(told.hands_minutes * MINUTE_MS)))
    return tuple(sorted(found, key=lambda span: span.began))


def timed(spans: Sequence[Span], week: Week, zone: tzinfo | None) -> list[Timing]:
    """The spans of one build, the earliest first, with their real minutes: without nights, and no minute told twice."""
    return [
        replace(span.timing, real=max(0, ms - nights(span, week, zone)) / MINUTE_MS)
        for span, ms in zip(spans, shared_out(spans), strict=True)
    ]


def nights(span: Span, week: Week, zone: tzinfo | None) -> int:
    """The ms of the span's nights: between a closing and an opening that both fall into it."""
    if span.ended - span.began < NIGHT_MS:
        return 0
    hours = stretches(week, zone, span.began, (span.ended - span.began) // MINUTE_MS)
    return sum(
        opens - closes
        for (_, closes), (opens, _) in pairwise(hours)
        if opens - closes >= NIGHT_MS and span.began <= closes and opens <= span.ended
    )


def shared_out(spans: Sequence[Span]) -> list[float]:
    """By span, its ms; a person's time that falls into several spans is shared among them by their planned minutes.

    So a batch that is begun at once and ticked off one by one takes the time that it took.
    """
    found = [0.0] * len(spans)
    moments = sorted({moment for span in spans for moment in (span.began, span.ended)})
    at_work: list[int] = []
    coming = 0
    for moment, following in pairwise(moments):
        at_work = [n for n in at_work if spans[n].ended > moment]
        while coming < len(spans) and spans[coming].began <= moment:
            at_work += [coming] if spans[coming].ended > moment else []
            coming += 1
        for n in at_work:
            mine = [k for k in at_work if spans[k].timing.person == spans[n].timing.person]
            whole = sum(max(1.0, spans[k].timing.planned) for k in mine)
            found[n] += (following - moment) * max(1.0, spans[n].timing.planned) / whole
    return found

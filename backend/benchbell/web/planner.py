"""Keeps the plan of all open builds: made anew when something happened that matters, else as it stands."""

import asyncio
from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from hashlib import sha256
from typing import Any, cast

import msgspec
from litestar import Litestar
from litestar.datastructures import State
from msgspec import Struct

from benchbell.alerts.watch import Watch
from benchbell.bench.book import Book
from benchbell.bench.clocks import clocks
from benchbell.bench.state import bench_of
from benchbell.buildlog.story import build_log
from benchbell.findings import Refused
from benchbell.hours import Week, read_hours, zone_name
from benchbell.plan.acts import OpenBuild
from benchbell.plan.told import Difference, PlanTold, WhatIf
from benchbell.store.alerts import builds_known
from benchbell.store.database import Database
from benchbell.store.happenings import of_build
from benchbell.thinking import Question
from benchbell.web.builds import shop_from
from benchbell.web.lookout import Lookout
from benchbell.web.settings import Settings
from benchbell.web.thinker import Thinker

BUDGET_MS = 250
MINUTE_MS = 60_000
STALE_MS = 10 * MINUTE_MS
"""Time goes on though nothing is recorded: what was to begin now has not begun."""

MOST_LEARNED = 20
"""So many earlier builds are looked at for how long things really take."""


class Made(Struct, frozen=True):
    """A plan and what it was made from. etag: names it."""

    question: Question
    told: PlanTold
    etag: str


class Planner:
    """Plans when asked, one question at a time."""

    def __init__(self, database: Database, settings: Settings, lookout: Lookout) -> None:
        self.database = database
        self.settings = settings
        self.lookout = lookout
        self.thinker = Thinker()
        self.turn = asyncio.Lock()
        self.made: Made | None = None
        self.plan: Any = None
        self.shares: dict[str, tuple[float, ...]] = {}

    async def newest(self) -> Made | None:
        """The plan as of the last happening; None where no build is open. Raises Refused."""
        async with self.turn:
            question = await self.question()
            if not question.builds:
                self.made = None
            elif self.made is None or not still_holds(self.made.question, question):
                answer = await self.thinker.ask(question)
                assert answer.told is not None
                self.plan = answer.plan
                self.made = Made(question, answer.told, etag_of(answer.told))
            return self.made

    async def what_if(self, what: WhatIf) -> Difference:
        """What would come of it. Raises Refused."""
        async with self.turn:
            question = await self.question()
            if not question.builds:
                raise Refused("No build is open.", "Start one first.")
            answer = await self.thinker.ask(msgspec.structs.replace(question, what=what))
            assert answer.difference is not None
            return answer.difference

    async def question(self) -> Question:
        """What is open now."""
        await self.lookout.follow()
        await self.learn()
        async with self.lookout.turn:
            now = self.settings.clock() // MINUTE_MS * MINUTE_MS
            return await asyncio.to_thread(self.asked, now)

    def asked(self, now: int) -> Question:
        """The question as the records stand."""
        watch = self.lookout.watch
        kept = watch.shop.settings
        shop = shop_from(kept)
        return Question(
            builds=open_builds(watch, now),
            week=week_of(kept),
            zone=zone_name(kept),
            clamps=shop.clamps or {},
            now=now,
            shop=shop,
            budget_ms=BUDGET_MS,
            shares=tuple(share for shares in self.shares.values() for share in shares),
            before=self.plan,
        )

    async def learn(self) -> None:
        """How long things took in builds that are over, each looked at once; and in those that go on."""
        known = await self.database.read(builds_known)
        for build in [one for one in known if one not in self.shares][-MOST_LEARNED:]:
            book = Book(await of_build(self.database, build))
            self.shares[build] = await asyncio.to_thread(shares_of, build, book)
        for build, book in list(self.lookout.watch.books.items()):
            self.shares[build] = await asyncio.to_thread(shares_of, build, book)


def open_builds(watch: Watch, now: int) -> tuple[OpenBuild, ...]:
    """Builds that go on, with their running clocks, and by when they are promised."""
    found = []
    for id, book in watch.books.items():
        bench, started = bench_of(book), book.started()
        if bench is None or started is None or bench.closed or bench.finished:
            continue
        running = clocks(started.sheet, bench, watch.shop.readings, now)
        due, weight = promised(watch.shop.settings, id)
        found.append(OpenBuild(id, started.name, started.sheet, bench, tuple(running), due, weight))
    return tuple(found)


def promised(kept: Mapping[str, Any], build: str) -> tuple[int | None, int]:
    """The setting "due/BUILD": {"by": ms, "weight": 1 to 9}; nobody waits where it is none of that form."""
    try:
        due = msgspec.convert(kept.get(f"due/{build}"), Due | None)
    except msgspec.ValidationError:
        return None, 1
    return (due.by, due.weight) if due else (None, 1)


class Due(Struct, frozen=True):
    """By when a build is promised, in ms, and how much that matters beside others."""

    by: int
    weight: int = 1


def week_of(kept: Mapping[str, Any]) -> Week:
    """The shop's hours; the usual ones where what was kept is none."""
    try:
        return read_hours(kept.get("hours"))
    except Refused:
        return read_hours(None)


def shares_of(build: str, book: Book) -> tuple[float, ...]:
    """Real over planned time of each operation that was timed."""
    told = build_log(build, book, {})
    operations = told.operations if told else ()
    return tuple(
        op.hands_minutes / op.planned_minutes
        for op in operations
        if op.hands_minutes is not None and op.planned_minutes > 0
    )


def still_holds(old: Question, new: Question) -> bool:
    """Whether nothing that matters to the plan happened since, and it is not stale."""
    return new.now - old.now < STALE_MS and outline(old) == outline(new)


def outline(question: Question) -> Any:
    """All that a plan hangs on but the time."""
    builds = [(b.id, b.due, b.weight, b.bench.operations, b.bench.stations, ends_of(b)) for b in question.builds]
    return builds, question.week, question.zone, question.clamps


def etag_of(told: PlanTold) -> str:
    """A name for this very plan."""
    return f'"{sha256(msgspec.json.encode(told)).hexdigest()[:16]}"'


def ends_of(build: OpenBuild) -> list[tuple[str, str, int | None]]:
    """When its waits end."""
    return [(clock.operation, clock.kind, clock.least) for clock in build.running]


def planner_of(state: State) -> Planner:
    """Who plans."""
    return cast(Planner, state.planner)


@asynccontextmanager
async def planning(app: Litestar) -> AsyncIterator[None]:
    """The planner lives while the server does. The ringer must be there."""
    app.state.planner = Planner(app.state.database, app.state.settings, app.state.ringer.lookout)
    try:
        yield
    finally:
        await app.state.planner.thinker.close()

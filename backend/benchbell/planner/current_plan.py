"""Keeps the plan of all open builds: made anew when something happened that matters, else as it stands."""

import asyncio
from collections.abc import Mapping
from hashlib import sha256
from importlib.util import find_spec
from typing import Any

import msgspec
import structlog
from msgspec import Struct
from msgspec.structs import replace

from benchbell.alerts.clock_tracker import ClockTracker
from benchbell.findings import Refused
from benchbell.plan.model.problem import Plan
from benchbell.plan.report.messages import Difference, PlanTold, WhatIf
from benchbell.plan.tasks.task import MINUTE_MS, OpenBuild
from benchbell.planner.client import PlannerClient
from benchbell.planner.open_builds import Paces, open_builds
from benchbell.planner.process import Answer, Question
from benchbell.planner.shop_hours import Week, read_hours, zone_name
from benchbell.recipe.shop_profile import profile_from
from benchbell.settings import Settings
from benchbell.store.records import Records

log = structlog.get_logger()

BUDGET_MS = 250
STALE_MS = 10 * MINUTE_MS
"""Time goes on though nothing is recorded: what was to begin now has not begun."""


class Made(Struct, frozen=True):
    """A plan and what it was made from. etag: names it."""

    question: Question
    told: PlanTold
    etag: str


class CurrentPlan:
    """Plans when asked, one question at a time."""

    def __init__(self, records: Records, settings: Settings, clock_tracker: ClockTracker) -> None:
        self.records = records
        self.settings = settings
        self.clock_tracker = clock_tracker
        self.planner_client = PlannerClient()
        self.turn = asyncio.Lock()
        self.made: Made | None = None
        self.plan: Plan | None = None
        self.paces = Paces()
        self.prover = PlannerClient()
        self.proof: asyncio.Task[None] | None = None

    async def newest(self) -> Made | None:
        """The plan as of the last happening; None where no build is open. Raises Refused."""
        async with self.turn:
            question = await self.question()
            if not question.builds:
                self.made = None
            elif self.made is None or not still_holds(self.made.question, question):
                self.stand(question, await self.planner_client.ask(question))
            return self.made

    def stand(self, question: Question, answer: Answer) -> None:
        """From now on this is the plan."""
        assert answer.told is not None
        self.plan = answer.plan
        self.made = Made(question, answer.told, etag_of(answer.told))
        self.prove(self.made)

    def prove(self, made: Made) -> None:
        """Have an exact solver think on in the background, where one is installed and wanted; the newest plan only."""
        if self.proof is not None:
            self.proof.cancel()
        self.proof = None
        if self.settings.prove_s > 0 and find_spec("ortools"):
            self.proof = asyncio.create_task(self.think_on(made))

    async def think_on(self, made: Made) -> None:
        """Take a better plan, or the proof that there is none, in place of one that still stands."""
        question = replace(made.question, before=self.plan, prove_s=self.settings.prove_s)
        try:
            answer = await self.prover.ask(question)
        except Refused as error:
            log.info("plan not proved", what=error.what)
            return
        finally:
            await self.prover.close()  # the solver takes much memory
        assert answer.told is not None
        if self.made is made:
            self.plan = answer.plan
            self.made = Made(made.question, answer.told, etag_of(answer.told))

    async def what_if(self, what: WhatIf) -> Difference:
        """What would come of it; a better plan found on the way stands from now on. Raises Refused."""
        async with self.turn:
            question = await self.question()
            if not question.builds:
                raise Refused("No build is open.", "Start one first.")
            answer = await self.planner_client.ask(replace(question, what=what))
            assert answer.difference is not None and answer.told is not None
            if self.made is None or answer.told.steps != self.made.told.steps:
                self.stand(question, answer)
            return answer.difference

    async def close(self) -> None:
        """End both processes."""
        if self.proof is not None:
            self.proof.cancel()
        await self.planner_client.close()
        await self.prover.close()

    async def question(self) -> Question:
        """What is open now."""
        await self.clock_tracker.follow()
        async with self.clock_tracker.turn:
            shares = await self.paces.look(self.records, self.clock_tracker.builds)
            now = self.settings.clock() // MINUTE_MS * MINUTE_MS
            return await asyncio.to_thread(self.asked, now, shares)

    def asked(self, now: int, shares: tuple[float, ...]) -> Question:
        """The question as the records stand."""
        builds = self.clock_tracker.builds
        kept = builds.shop.settings
        shop = profile_from(kept)
        return Question(
            builds=open_builds(builds, now),
            week=week_of(kept),
            zone=zone_name(kept),
            clamps=shop.clamps or {},
            now=now,
            shop=shop,
            budget_ms=BUDGET_MS,
            shares=shares,
            before=self.plan,
        )


def week_of(kept: Mapping[str, Any]) -> Week:
    """The shop's hours; the usual ones where what was kept is none."""
    try:
        return read_hours(kept.get("hours"))
    except Refused:
        return read_hours(None)


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

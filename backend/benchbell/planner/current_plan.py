"""Keeps the plan of all open builds, and plans again when something that affects it was recorded."""

import asyncio
from collections.abc import Callable, Mapping, Sequence
from hashlib import sha256
from importlib.util import find_spec
from typing import Any, TypeVar

import msgspec
import structlog
from msgspec import Struct
from msgspec.structs import replace

from benchbell.alerts.clock_tracker import ClockTracker
from benchbell.bench.air import Reading, is_old
from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused
from benchbell.plan.kept_plan import kept_plan, standing_of
from benchbell.plan.odds.timings import Timing
from benchbell.plan.report.messages import Difference, PresentedPlan, WhatIf
from benchbell.plan.report.unfit_air import unfit_operations
from benchbell.plan.tasks.task import OpenBuild
from benchbell.planner.client import PlannerClient
from benchbell.planner.days_off import read_days_off
from benchbell.planner.open_builds import open_builds
from benchbell.planner.people import read_people
from benchbell.planner.process import PlannerAnswer, PlannerQuestion
from benchbell.planner.shop_hours import Week, read_hours, zone_name, zone_named
from benchbell.planner.timings import Timings
from benchbell.recipe.shop_profile import profile_from
from benchbell.recipe.unfit_air import Air
from benchbell.settings import Settings
from benchbell.store.records import Records

log = structlog.get_logger()

Read = TypeVar("Read")

STALE_MS = 10 * MINUTE_MS
"""A plan this old is made again although nothing was recorded: work that it starts now has not started."""


class MadePlan(Struct, frozen=True):
    """A plan, its presentation, and the question it answers. etag: a hash of the presentation."""

    question: PlannerQuestion
    report: PresentedPlan
    etag: str


class CurrentPlan:
    """The plan of all open builds. It is made when somebody asks, one question at a time.

    made: the current plan; None before the first. prover: a second process, which proof, the background task, asks how
    soon all could be done at all.
    """

    def __init__(self, records: Records, settings: Settings, clock_tracker: ClockTracker) -> None:
        self.records = records
        self.settings = settings
        self.clock_tracker = clock_tracker
        self.planner_client = PlannerClient()
        self.lock = asyncio.Lock()
        self.made: MadePlan | None = None
        self.timings = Timings()
        self.prover = PlannerClient()
        self.proof: asyncio.Task[None] | None = None

    async def newest(self) -> MadePlan | None:
        """The plan as of the last commit; None when no build is open. Raises Refused, StoreError."""
        async with self.lock:
            question = await self.question()
            if not question.builds and not question.unplanned:
                self.made = None
            elif self.made is None or not still_holds(self.made.question, question):
                self.adopt(question, await self.planner_client.ask(question))
            return self.made

    def adopt(self, question: PlannerQuestion, answer: PlannerAnswer) -> None:
        """Make this answer the current plan."""
        assert answer.report is not None
        report = answer.report
        if answer.stays and self.made:
            report = replace(report, stands=standing_of(self.made.report))
        self.made = MadePlan(question, report, etag_of(report))
        self.start_proof(self.made)

    def start_proof(self, made: MadePlan) -> None:
        """Start the exact solver in the background, if it is installed and switched on; only for the newest plan."""
        if self.proof is not None:
            self.proof.cancel()
        self.proof = None
        if self.settings.prove_s > 0 and find_spec("ortools"):
            self.proof = asyncio.create_task(self.prove(made))

    async def prove(self, made: MadePlan) -> None:
        """Replace the plan by the exact solver's, a better one or one with a better bound, if it still stands."""
        before = kept_plan(made.report, made.question.now)
        question = replace(made.question, before=before, prove_s=self.settings.prove_s)
        try:
            answer = await self.prover.ask(question)
        except Refused as error:
            log.info("plan not proved", what=error.what)
            return
        finally:
            await self.prover.close()  # it holds much memory
        assert answer.report is not None
        if self.made is made:
            stands = made.report.stands if answer.report.steps == made.report.steps else None
            report = replace(answer.report, stands=stands)
            self.made = MadePlan(made.question, report, etag_of(report))

    async def what_if(self, what: WhatIf) -> Difference:
        """The effect of a changed shop. A better plan of the real shop found on the way becomes the current one.

        Raises Refused when no build is open or the planner does not answer, StoreError.
        """
        async with self.lock:
            question = await self.question()
            if not question.builds:
                raise Refused("No build is open.", "Start one first.")
            answer = await self.planner_client.ask(replace(question, what=what))
            assert answer.difference is not None and answer.report is not None
            if self.made is None or answer.report.steps != self.made.report.steps:
                self.adopt(question, answer)
            return answer.difference

    async def close(self) -> None:
        """End the background task and both processes."""
        if self.proof is not None:
            self.proof.cancel()
        await self.planner_client.close()
        await self.prover.close()

    async def question(self) -> PlannerQuestion:
        """The question for the shop as of the last commit. Raises StoreError."""
        await self.clock_tracker.refresh()
        async with self.clock_tracker.lock:
            builds, kept = self.clock_tracker.builds, self.clock_tracker.builds.shop.settings
            zone = zone_named(zone_name(kept))
            timings = await self.timings.refresh(self.records, builds, week_of(kept), zone)
            now = self.settings.clock() // MINUTE_MS * MINUTE_MS
            return await asyncio.to_thread(self.question_at, now, timings)

    def question_at(self, now: int, timings: tuple[Timing, ...]) -> PlannerQuestion:
        """The question at `now` (ms, whole minutes). timings: of the newest builds."""
        builds = self.clock_tracker.builds
        kept = builds.shop.settings
        shop = profile_from(kept)
        able, unplanned = open_builds(builds, now)
        return PlannerQuestion(
            builds=able,
            unplanned=unplanned,
            week=week_of(kept),
            closed=read_or(read_days_off, kept.get("closed"), ()),
            people=read_or(read_people, kept.get("people"), ()),
            zone=zone_name(kept),
            clamps=shop.clamps or {},
            now=now,
            shop=shop,
            timings=timings,
            before=kept_plan(self.made.report, now) if self.made else None,
            air=air_now(builds.shop.readings, now),
        )


def week_of(kept: Mapping[str, Any]) -> Week:
    """The shop's hours from its settings; the default ones when the setting is invalid."""
    return read_or(read_hours, kept.get("hours"), read_hours(None))


def read_or(read: Callable[[Any], Read], setting: Any, otherwise: Read) -> Read:
    """The setting as it is read; `otherwise` when it is invalid."""
    try:
        return read(setting)
    except Refused as error:
        log.info("setting not read", what=error.what)
        return otherwise


def air_now(readings: Sequence[Reading], now: int) -> Air | None:
    """The air as last read at the bench; None where nobody read it, or too long ago to say anything."""
    if not readings or is_old(readings[-1], now):
        return None
    return Air(readings[-1].celsius, readings[-1].humidity, "at the bench")


def still_holds(old: PlannerQuestion, new: PlannerQuestion) -> bool:
    """Whether a plan for `old` is still good for `new`: younger than STALE_MS, and with the same inputs.

    One from later than now was made before the server's clock was set back.
    """
    return 0 <= new.now - old.now < STALE_MS and plan_inputs(old) == plan_inputs(new)


def plan_inputs(question: PlannerQuestion) -> Any:
    """Everything that affects a plan except the time; of the air, what is not done in it."""
    unfit = unfit_operations(question.builds, question.air)
    builds = [(b.id, b.due, b.weight, b.bench.operations, b.bench.stations, wait_ends(b)) for b in question.builds]
    hours = (question.week, question.closed, question.people, question.zone)
    shop = question.shop.fixtures, question.shop.finishing_room
    return builds, question.unplanned, hours, question.clamps, shop, unfit


def etag_of(report: PresentedPlan) -> str:
    """A quoted ETag: 16 hex digits of the presentation's SHA-256."""
    return f'"{sha256(msgspec.json.encode(report)).hexdigest()[:16]}"'


def wait_ends(build: OpenBuild) -> list[tuple[str, str, int | None]]:
    """By operation and kind of clock, when each wait of a build ends, in ms."""
    return [(clock.operation, clock.kind, clock.least) for clock in build.running]

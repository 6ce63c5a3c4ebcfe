"""A week in a shop with two people and two builds, and what the plan advises each time that it is asked.

Pia may use everything, Tom not the table saw. Wednesday is a holiday. A glue-up goes together after its open time, and
a rail is spoiled. Both people follow the plan.
"""

from datetime import UTC, date, datetime
from functools import partial

from benchbell.bench.happenings import (
    Began,
    Clamped,
    ClampsOff,
    CoatOn,
    Finished,
    GlueOn,
    Pared,
    RagsSafe,
    Remade,
    SetUp,
    Spoiled,
    WipedOff,
)
from benchbell.bench.state import bench_of
from benchbell.plan.advise import PlanRequest, advise
from benchbell.plan.kept_plan import kept_plan
from benchbell.plan.planner import plan_for
from benchbell.plan.report.messages import PlannedTask, PresentedPlan
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random
from benchbell.planner.days_off import DaysOff
from benchbell.planner.gone import open_minutes_gone
from benchbell.planner.people import Person, workers_of
from benchbell.planner.shop_hours import moment_text, read_hours, stretches
from plan.played import MINUTE, Played, measured_at

MONDAY = int(datetime(2026, 12, 7, 8, tzinfo=UTC).timestamp() * 1000)
ENDS = int(datetime(2026, 12, 19, tzinfo=UTC).timestamp() * 1000)
"""Nobody is asked after the second Friday."""

WEEK = read_hours(dict.fromkeys(("mon", "tue", "wed", "thu", "fri"), "08:00-12:00, 12:30-17:00"))
CLOSED = (DaysOff(date(2026, 12, 9), date(2026, 12, 9), "holiday"),)
PEOPLE = (Person("Pia"), Person("Tom", unable=("table saw",)))
BUILDS = ("hall-bench", "plant-stand")
HOURS = partial(stretches, WEEK, UTC, closed=CLOSED)

LATE, LATE_BY = "A/glue-left-end", 25
"""The glue-up that is clamped late, and how many minutes later than it should be."""

SPOILING, SPOILED = "A/long-tenons", "A/long-rail-2"
"""After which operation a part is found spoiled, and which part."""

THOUGHT = 40
"""Schedules tried for each plan."""

ACTS = {"work": "", "squeeze-out": ": clean the squeeze-out off", "clamps-off": ": clamps off"}


class Week:
    """The week so far. in_hand: steps, each with when it ends. told: what was said when it was last asked.

    Who is at a step, the plan says: nobody records it.
    """

    def __init__(self) -> None:
        self.shop = Played(list(BUILDS), 1, MONDAY)
        self.before: PresentedPlan | None = None
        self.in_hand: list[tuple[int, PlannedTask]] = []
        self.told: list[str] = []

    def advice(self) -> list[str]:
        """All that was advised, a line each, until everything is done or the time is over."""
        lines = []
        while self.shop.open() and self.shop.now < ENDS:
            plan = self.asked()
            told = list(self.lines(plan))
            lines += [f"{moment_text(self.shop.now, MONDAY, UTC)}  {line}" for line in told if line not in self.told]
            self.told = told
            for step in self.free(plan):
                if step.setup_at <= self.shop.now and step.hand not in self.busy(plan):
                    self.in_hand.append((step.end, step))
                    self.begin(step)
            coming = [until for until, _ in self.in_hand]
            coming += [step.setup_at for step in self.free(plan) if step.hand not in self.busy(plan)][:1]
            self.shop.now = max(self.shop.now + MINUTE, min(coming))
            over = [step for until, step in self.in_hand if until <= self.shop.now]
            self.in_hand = [(until, step) for until, step in self.in_hand if until > self.shop.now]
            for step in over:
                self.end(step)
        return lines

    def asked(self) -> PresentedPlan:
        """The plan at this moment."""
        now = self.shop.now
        workers = workers_of(PEOPLE, WEEK, CLOSED, "UTC", now)
        request = PlanRequest(
            builds=self.shop.open(),
            hours=partial(HOURS, now),
            clamps={},
            now=now,
            say=partial(moment_text, zone=UTC),
            gone=partial(open_minutes_gone, HOURS, now),
            workers=workers,
        )
        before = self.before and kept_plan(self.before, now)
        plan, *_ = advise(request, lambda problem: [plan_for(problem, tries(THOUGHT), Random(1), before)])
        self.before = plan
        return plan

    def lines(self, plan: PresentedPlan):
        """What each who is free is to do next, what to do before going home, and when the builds are done."""
        for person in PEOPLE:
            own = [step for step in self.free(plan) if step.hand == person.name]
            if person.name not in self.busy(plan) and own:
                yield self.line(person.name, own[0])
        yield from (
            f"{BUILDS[int(one.build)]}, {one.operation} cannot be planned: {one.reason}" for one in plan.unplanned
        )
        yield from (f"before going home: {one.title}, by {self.text(one.by)}. {one.reason}" for one in plan.evening)
        yield from (f"{BUILDS[int(one.build)]} likely done {self.day(one.likely)}" for one in plan.forecasts)

    def line(self, name: str, step: PlannedTask) -> str:
        """What somebody is to do next."""
        when = "now" if step.setup_at <= self.shop.now else self.text(step.setup_at)
        return f"{name}, {when}: {step.title}{ACTS[step.act]} ({BUILDS[int(step.build)]}). {step.reason}".rstrip()

    def day(self, ms: int) -> str:
        """A date."""
        return f"{datetime.fromtimestamp(ms / 1000, UTC):%a %-d %b}"

    def text(self, ms: int) -> str:
        """A moment in words, as seen now."""
        return moment_text(ms, self.shop.now, UTC)

    def is_in_hand(self, step: PlannedTask) -> bool:
        """Whether somebody is at it."""
        return any(
            (one.build, one.operation, one.act) == (step.build, step.operation, step.act) for _, one in self.in_hand
        )

    def free(self, plan: PresentedPlan) -> list[PlannedTask]:
        """The steps that nobody is at."""
        return [step for step in plan.steps if not self.is_in_hand(step)]

    def busy(self, plan: PresentedPlan) -> set[str]:
        """Who is at a step."""
        return {step.hand for step in plan.steps if self.is_in_hand(step)}

    def begin(self, step: PlannedTask) -> None:
        """Its person takes it up."""
        op, marks = self.operation(step), self.marks(step)
        lost = bench_of(self.shop.books[step.build]).operations[op.id].lost
        self.shop.record(step.build, *(Remade(part, "") for part in lost))
        if step.act == "work" and ("began" not in marks or lost):
            self.shop.record(step.build, *([SetUp(op.setup, op.station)] if op.setup else []), Began(op.id))

    def end(self, step: PlannedTask) -> None:
        """Its person is done with it; with the late glue-up, the glue is on by now."""
        op, marks = self.operation(step), self.marks(step)
        sheet = self.shop.books[step.build].started().sheet
        if step.act == "squeeze-out":
            whats = [Pared(op.id)]
        elif step.act == "clamps-off":
            whats = [ClampsOff(op.id), Finished(op.id)]
        elif op.step == "glue-up" and op.id == LATE and "glue-on" not in marks:
            whats = [GlueOn(op.id)]
            open_time = next(clock.most_ms for clock in op.clocks if clock.kind == "open")
            self.in_hand.append((self.shop.now + open_time + LATE_BY * MINUTE, step))
        elif op.step == "glue-up":
            whats = [*([] if "glue-on" in marks else [GlueOn(op.id)]), Clamped(op.id)]
        elif op.step == "coat":
            whats = [CoatOn(op.id), WipedOff(op.id), RagsSafe(op.id), Finished(op.id)]
        else:
            whats = [*measured_at(op, sheet), Finished(op.id)]
        self.shop.record(step.build, *whats, *([Spoiled(SPOILED, "split")] if self.is_spoiling(step) else []))

    def is_spoiling(self, step: PlannedTask) -> bool:
        """Whether the part is found spoiled after it, once."""
        return (
            step.build == "0" and step.operation == SPOILING and not self.shop.books[step.build].all("spoiled", SPOILED)
        )

    def operation(self, step: PlannedTask):
        """Its operation."""
        return next(op for op in self.shop.books[step.build].started().sheet.operations if op.id == step.operation)

    def marks(self, step: PlannedTask):
        """What of its operation was recorded."""
        return bench_of(self.shop.books[step.build]).operations[step.operation].marks

"""Shops with hidden paces: what they log, and when their builds are really done."""

from bisect import bisect_right
from dataclasses import dataclass, field
from math import exp, log
from random import Random
from statistics import fmean

from benchbell.plan.model.hours import hours_of, open_minutes
from benchbell.plan.model.schedule import order_of
from benchbell.plan.odds.pace import learned
from benchbell.plan.odds.retiming import retiming_of
from benchbell.plan.odds.samples import sampled_finishes
from benchbell.plan.odds.timings import Timing, kind_of
from benchbell.plan.planner import plan_for
from benchbell.plan.report.forecast import day_opens, likely
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random as Random32
from benchbell.plan.tasks.from_builds import problem_from_builds
from msgspec.structs import replace
from plan.played import Played
from plan.shop_day import MONDAY, request_for

PEOPLE = ("ann", "bob")


@dataclass
class Shop:
    """A shop whose true effects follow from its seed; they may be far from what is looked for before it is known."""

    seed: int
    chance: float = 0.3
    of_build: float = 0.15
    kinds: dict[str, float] = field(default_factory=dict)

    def __post_init__(self):
        self.random = Random(self.seed)
        self.level = self.random.gauss(log(1.1), 0.25)
        self.people = {name: self.random.gauss(0, 0.15) for name in PEOPLE}

    def kind(self, kind: str) -> float:
        """The true effect of a kind of work."""
        return self.kinds.setdefault(kind, Random(f"{self.seed} {kind}").gauss(0, 0.2))

    def build_effect(self) -> float:
        """The luck that one build shares."""
        return self.random.gauss(0, self.of_build)

    def real(self, minutes: float, kind: str, person: str, of_build: float) -> float:
        """How long an operation really takes."""
        logs = self.level + self.kind(kind) + self.people[person] + of_build + self.random.gauss(0, self.chance)
        return minutes * exp(logs)

    def logged(self, sheet, builds: int) -> list[Timing]:
        """What was timed in so many earlier builds of a sheet, each by one person."""
        found = []
        for n in range(builds):
            person, of_build = self.random.choice(PEOPLE), self.build_effect()
            for op in sheet.operations:
                kind, planned = kind_of(op), op.minutes - op.setup_minutes
                if planned > 0:
                    found.append(Timing(f"past {n}", kind, person, planned, self.real(planned, kind, person, of_build)))
        return found

    def finish(self, source, plan, person: str) -> dict[str, int]:
        """When each build is really done, by a person who works through the plan's order."""
        luck = {task.build: 0.0 for task in source.tasks.values()}
        luck = {build: self.build_effect() for build in luck}
        minutes = []
        for op in source.problem.ops:
            task = source.tasks[op.id]
            real = self.real(task.minutes, kind_of(task.operation, task.act), person, luck[task.build])
            minutes.append(max(min(1, task.minutes), round(real)))
        retiming = retiming_of(source.problem)
        order = order_of(retiming.compiled, plan)
        schedule = retiming.retime(order, minutes)
        ends: dict[str, int] = {}
        for n, op in enumerate(source.problem.ops):
            build = source.tasks[op.id].build
            ends[build] = max(ends.get(build, 0), schedule.end[n] + retiming.compiled.runs[n])
        return ends


@dataclass
class Coverage:
    """How forecasts came out: shares of builds, and the mean width of the 80 % range over that of the true one.

    inside: in the 80 % range; kept: by the likely moment; day_kept: by the end of its day; surely: by the sure one.
    """

    inside: float
    kept: float
    day_kept: float
    surely: float
    too_wide: float


def coverage(names: list[str], pieces: int, past: int, seeds: range, truths: int = 24) -> Coverage:
    """What becomes of forecasts in so many shops that have built the same so often before.

    truths: how often each shop builds it in the end, to know the true range; the first counts.
    """
    builds = Played(names, pieces, MONDAY).open()
    request = request_for(*builds)
    source = problem_from_builds(builds, request.hours, {}, MONDAY)
    plan = plan_for(source.problem, tries(100), Random32(1))
    opens, hours = day_opens(source.problem.windows), hours_of(source.problem.windows, 0)
    results, widths, true_widths = [], [], []
    for seed in seeds:
        shop = Shop(seed)
        timings = [
            replace(one, build=f"{one.build} of {build.id}")
            for build in builds
            for one in shop.logged(build.sheet, past)
        ]
        sampled = sampled_finishes(source.problem, source.tasks, plan, learned(timings))
        person = shop.random.choice(PEOPLE)
        came = [shop.finish(source, plan, person) for _ in range(truths)]
        for build, finishes in sampled.items():
            low, high = eighty(finishes)
            by = likely(sorted(finishes), opens)
            done = came[0][build]
            day = bisect_right(opens, done) <= bisect_right(opens, by)
            results.append((low <= done <= high, done <= by, day, done <= high))
            widths.append(open_minutes(hours, high) - open_minutes(hours, low))
            true_low, true_high = eighty([one[build] for one in came])
            true_widths.append(open_minutes(hours, true_high) - open_minutes(hours, true_low))
    return Coverage(*map(fmean, zip(*results, strict=True)), sum(widths) / sum(true_widths))


def eighty(finishes: list[int]) -> tuple[int, int]:
    """The range that leaves a tenth on either side."""
    ordered, tenth = sorted(finishes), len(finishes) // 10
    return ordered[tenth], ordered[-1 - tenth]

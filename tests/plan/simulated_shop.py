"""Shops with hidden paces: what they log, and when their builds are really done."""

from dataclasses import dataclass, field
from math import exp, log
from random import Random

from benchbell.plan.model.schedule import order_of
from benchbell.plan.odds.retiming import retiming_of
from benchbell.plan.odds.timings import Timing, kind_of
from plan.played import Played
from plan.shop_day import MONDAY

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
            real = self.real(op.minutes, kind_of(task.operation, task.act), person, luck[task.build])
            minutes.append(max(min(1, op.minutes), round(real)))
        retiming = retiming_of(source.problem)
        order = order_of(retiming.compiled, plan)
        schedule = retiming.retime(order, minutes)
        ends: dict[str, int] = {}
        for n, op in enumerate(source.problem.ops):
            build = source.tasks[op.id].build
            ends[build] = max(ends.get(build, 0), schedule.end[n] + retiming.compiled.runs[n])
        return ends


def open_builds_of(names: list[str], pieces: int):
    """Builds of shipped recipes that begin on Monday morning."""
    return Played(names, pieces, MONDAY).open()

"""Builds at which a maker did one thing or another, in no good order and at any hour: a source of unusual states."""

from collections.abc import Mapping
from random import Random

import msgspec
from benchbell.alerts.running_builds import RunningBuilds
from benchbell.bench.happenings import (
    SHOP,
    Began,
    Clamped,
    ClampsOff,
    Closed,
    CoatOn,
    Conditions,
    Finished,
    GlueOn,
    Happening,
    Kept,
    Lengthened,
    Measured,
    Mixed,
    Pared,
    RagsSafe,
    Remade,
    SetUp,
    SetupBroken,
    Spoiled,
    Stamp,
    Started,
    Ticked,
    Undone,
    WipedOff,
)
from benchbell.bench.state import bench_of
from benchbell.recipe.sheet import Sheet
from plan.played import MINUTE, PHONE

HOUR = 60 * MINUTE
NEXT = {
    "glue-up": [Mixed, GlueOn, Clamped, Pared, ClampsOff, Finished],
    "coat": [CoatOn, WipedOff, RagsSafe, Finished],
}
"""By step, what is recorded of an operation in hand, in order."""

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
HOURS = [
    "07:30-12:00, 12:30-16:15",
    "18:00-01:30",
    {"mon": "08:00-12:00,13:00-17:00", "wed": "14:00-22:00, 22:30-02:45", "sat": "01:00-06:00"},
    dict.fromkeys(DAYS[2:], "06:00-14:00"),
    "nonsense",
    {"sun": "20:00-06:30", "mon": "06:00-14:00"},
    None,
]
OFF = [
    [{"from": "2027-03-27", "to": "2027-03-28", "name": "Easter"}],
    [{"from": "2027-03-26"}, {"from": "2027-04-01", "to": "2027-04-09"}],
    [],
    None,
]
PEOPLE = [
    [{"name": "Ann", "unable": ["table saw", "router table"]}, {"name": "Ben", "hours": {"sat": "09:00-15:00"}}],
    [{"name": "Ann", "hours": "22:00-03:00", "away": [{"from": "2027-03-28", "to": "2027-03-30"}]}, {"name": "Ben"}],
    [{"name": "Ann", "unable": ["assembly table"]}, {"name": "Ben"}],
    [{"name": "Ann", "away": [{"from": "2027-03-27"}]}],
    [],
    None,
]
COUNTS = [{}, {"heavy F": 2, "parallel jaw": 4, "spring": 3}, {"parallel jaw": 1}, None]


class Wandered:
    """Builds, the shop's settings, and all that was recorded of them. log: as it was recorded."""

    def __init__(self, sheets: Mapping[str, Sheet], now: int, chance: Random) -> None:
        self.now = now
        self.chance = chance
        self.running = RunningBuilds()
        self.books = self.running.books
        self.log: list[Happening] = []
        for id, sheet in sheets.items():
            self.record(id, Started(id, sheet, "", {}))

    def record(self, build: str, *whats: object, ahead: int = 0) -> None:
        """Record these happenings at the present moment; by a clock that is so many ms ahead."""
        for what in whats:
            n = len(self.log) + 1
            h = Happening(f"h{n}", n, Stamp(self.now + ahead, n, PHONE), build, (), what)
            self.log.append(h)
            self.running.add(build, [h])

    def go_ahead(self, build: str, share: float) -> None:
        """Have so great a share of a build's operations done, in their order, before anybody wanders."""
        sheet = self.sheet(build)
        for op in sheet.operations[: int(share * len(sheet.operations))]:
            self.now += 2 * MINUTE
            clamping = [Clamped(op.id), ClampsOff(op.id)] if op.step == "glue-up" else []
            self.record(build, *clamping, *self.measured(build, op, 1), Finished(op.id))

    def sheet(self, build: str) -> Sheet:
        """What the build was compiled to."""
        return self.books[build].started().sheet

    def wander(self, steps: int) -> None:
        """Do so many things, one after the other."""
        for _ in range(steps):
            done = self.chance.choices(
                [self.work, self.wait, self.go_home, self.spoil, self.keep, self.break_setup, self.read_air, self.undo,
                 self.put_away],
                [60, 12, 3, 1, 6, 1, 1, 1, 0.3],
            )[0]  # fmt: skip
            done()

    def work(self) -> None:
        """Go on with an operation that is ready or in hand."""
        build = self.chance.choice(sorted(self.books))
        sheet, bench = self.sheet(build), bench_of(self.books[build])
        states = [(op, bench.operations[op.id]) for op in sheet.operations]
        now = [one for one in states if one[1].status in ("in-hand", "in-clamps")]
        ready = [one for one in states if one[1].status == "ready" or one[1].to_measure]
        able = now if now and (self.chance.random() < 0.7 or not ready) else ready
        if able:
            timed = [one for one in able if one[0].step in NEXT]
            op, state = self.chance.choice(timed if timed and self.chance.random() < 0.5 else able)
            self.go_on(build, op, state)
            self.now += self.chance.randint(1, 25) * MINUTE // 2

    def go_on(self, build, op, state) -> None:
        """Record what comes next of an operation."""
        if not state.marks:
            self.record(build, *([SetUp(op.setup, op.station)] if op.setup and self.chance.random() < 0.7 else []))
            self.record(build, Began(op.id))
        elif op.step in NEXT:
            steps = [step for step in NEXT[op.step] if step.__struct_config__.tag not in state.marks]
            if steps:
                self.record(build, steps[0 if self.chance.random() < 0.8 else -1](op.id))
            if op.clocks and self.chance.random() < 0.1:
                self.record(build, Lengthened(op.id, self.chance.choice(op.clocks).kind, 20 * MINUTE))
        elif len(state.left) > 1 and self.chance.random() < 0.6:
            self.record(build, Ticked(op.id, self.chance.choice(state.left)))
        else:
            self.record(build, *self.measured(build, op, self.chance.choice([1, 1.4])), Finished(op.id))

    def measured(self, build, op, times):
        """What an operation measures, by so many times the plan."""
        sizes = self.sheet(build).sizes
        return [Measured(s.name, "" if s.once else op.piece, s.plan * times) for s in sizes if s.name in op.measure]

    def wait(self) -> None:
        """Let some time pass."""
        self.now += self.chance.randint(1, 90) * MINUTE

    def go_home(self) -> None:
        """Let a night or some days pass."""
        self.now += self.chance.choice([10, 14, 40, 70]) * HOUR

    def spoil(self) -> None:
        """Spoil a part, and mostly begin it again."""
        build = self.chance.choice(sorted(self.books))
        part = self.chance.choice(self.sheet(build).parts).id
        self.record(
            build, Spoiled(part), *([Remade(part, f"code{len(self.log)}")] if self.chance.random() < 0.7 else [])
        )

    def keep(self) -> None:
        """Change a setting of the shop."""
        due = {"by": self.now + self.chance.randint(-5, 60) * 7 * HOUR, "weight": self.chance.choice([4, 9, 10])}
        settings = {
            "hours": HOURS,
            "closed": OFF,
            "people": PEOPLE,
            "clamps": COUNTS,
            "fixtures": [{"Vacuum press": 2}, {}],
            "finishing_room": [True, False],
            f"due/{self.chance.choice(sorted(self.books))}": [due, due, {"by": due["by"]}, {"by": 1.5}, None],
        }
        name = self.chance.choice([*settings, *list(settings)[-1:]])
        self.record(SHOP, Kept(name, self.chance.choice(settings[name])))

    def break_setup(self) -> None:
        """Take a setup down."""
        build = self.chance.choice(sorted(self.books))
        stations = sorted({setup.station for setup in self.sheet(build).setups})
        if stations:
            self.record(build, SetupBroken(self.chance.choice(stations)))

    def read_air(self) -> None:
        """Read the air at the bench."""
        self.record(SHOP, Conditions(self.chance.choice([12, 19.5, 24]), self.chance.choice([None, 45, 71])))

    def undo(self) -> None:
        """Undo what was last recorded of a build, but not its beginning."""
        last = self.log[-1]
        if last.build != SHOP and len(self.log) > len(self.books) and not isinstance(last.what, Undone):
            self.record(last.build, Undone(last.id))

    def put_away(self) -> None:
        """Close a build, or record something of it by a clock that is days ahead, so that nothing of it is planned."""
        build = self.chance.choice(sorted(self.books))
        if self.chance.random() < 0.5:
            self.record(build, Closed(self.chance.random() < 0.5))
        else:
            self.record(build, Began(self.sheet(build).operations[-1].id), ahead=30 * HOUR)

    def written(self) -> list[dict]:
        """All that was recorded, as JSON values."""
        raws = (msgspec.to_builtins(h) for h in self.log)
        return [{name: value for name, value in raw.items() if value is not None} for raw in raws]

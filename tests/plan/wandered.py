"""Builds at which a maker did one thing or another, in no good order and at any hour: a source of unusual states."""

from random import Random

import msgspec
from benchbell.alerts.running_builds import RunningBuilds
from benchbell.bench.happenings import (
    SHOP,
    Began,
    Clamped,
    ClampsOff,
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
    Ticked,
    Undone,
    WipedOff,
)
from benchbell.bench.state import bench_of
from plan.played import MINUTE, PHONE, Played, measured_at

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
    {day: "06:00-14:00" for day in DAYS[2:]},
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
    [{"name": "Ann", "away": [{"from": "2027-03-27"}]}],
    [],
    None,
]
COUNTS = [{}, {"heavy F": 2, "parallel jaw": 4, "spring": 3}, {"parallel jaw": 1}, None]


class Wandered(Played):
    """Builds, the shop's settings, and all that was recorded of them. log: as it was recorded."""

    def __init__(self, names: list[str], pieces: int, now: int, chance: Random) -> None:
        self.chance = chance
        self.running = RunningBuilds()
        self.log: list[Happening] = []
        super().__init__(names, pieces, now)
        self.books = self.running.books

    def record(self, build: str, *whats: object) -> None:
        """Record these happenings at the present moment."""
        for what in whats:
            self.n += 1
            h = Happening(f"h{self.n}", self.n, Stamp(self.now, self.n, PHONE), build, (), what)
            self.log.append(h)
            self.running.add(build, [h])

    def go_ahead(self, share: float) -> None:
        """Have so great a share of the first build's operations done, in their order, before anybody wanders."""
        sheet = self.books["0"].started().sheet
        for op in sheet.operations[: int(share * len(sheet.operations))]:
            self.now += 2 * MINUTE
            ahead = [Clamped(op.id), ClampsOff(op.id)] if op.step == "glue-up" else []
            self.record("0", *ahead, *measured_at(op, sheet), Finished(op.id))

    def wander(self, steps: int) -> None:
        """Do so many things, one after the other."""
        for _ in range(steps):
            done = self.chance.choices(
                [self.work, self.wait, self.go_home, self.spoil, self.keep, self.break_setup, self.read_air, self.undo],
                [60, 12, 2, 1, 3, 1, 1, 1],
            )[0]
            done()

    def work(self) -> None:
        """Go on with an operation that is ready or in hand."""
        build = self.chance.choice(sorted(self.books))
        sheet, bench = self.books[build].started().sheet, bench_of(self.books[build])
        states = [(op, bench.operations[op.id]) for op in sheet.operations]
        now = [one for one in states if one[1].status in ("in-hand", "in-clamps")]
        ready = [one for one in states if one[1].status == "ready" or one[1].to_measure]
        able = now if now and (self.chance.random() < 0.7 or not ready) else ready
        if able:
            op, state = self.chance.choice(able)
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
                self.record(build, steps[0](op.id))
            if op.clocks and self.chance.random() < 0.1:
                self.record(build, Lengthened(op.id, self.chance.choice(op.clocks).kind, 20 * MINUTE))
        elif len(state.left) > 1 and self.chance.random() < 0.6:
            self.record(build, Ticked(op.id, self.chance.choice(state.left)))
        else:
            self.record(build, *self.measured(build, op), Finished(op.id))

    def measured(self, build, op):
        """What an operation measures, now and then too much."""
        sizes = self.books[build].started().sheet.sizes
        much = self.chance.choice([1, 1, 1.4])
        return [Measured(s.name, "" if s.once else op.piece, s.plan * much) for s in sizes if s.name in op.measure]

    def wait(self) -> None:
        """Let some time pass."""
        self.now += self.chance.randint(1, 90) * MINUTE

    def go_home(self) -> None:
        """Let a night or some days pass."""
        self.now += self.chance.choice([10, 14, 40, 70]) * HOUR

    def spoil(self) -> None:
        """Spoil a part, and mostly begin it again."""
        build = self.chance.choice(sorted(self.books))
        part = self.chance.choice(self.books[build].started().sheet.parts).id
        self.record(build, Spoiled(part), *([Remade(part, f"code{self.n}")] if self.chance.random() < 0.7 else []))

    def keep(self) -> None:
        """Change a setting of the shop."""
        due = {"by": self.now + self.chance.randint(-5, 60) * 7 * HOUR, "weight": self.chance.choice([1, 4, 9, 10])}
        settings = {
            "hours": HOURS,
            "closed": OFF,
            "people": PEOPLE,
            "clamps": COUNTS,
            "fixtures": [{"vacuum press": 2}, {}],
            "finishing_room": [True, False],
            f"due/{self.chance.choice(sorted(self.books))}": [due, {"by": due["by"]}, {"by": "soon"}, None],
        }
        name = self.chance.choice(sorted(settings))
        self.record(SHOP, Kept(name, self.chance.choice(settings[name])))

    def break_setup(self) -> None:
        """Take a setup down."""
        build = self.chance.choice(sorted(self.books))
        stations = sorted({setup.station for setup in self.books[build].started().sheet.setups})
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

    def written(self) -> list[dict]:
        """All that was recorded, as JSON values."""
        raws = (msgspec.to_builtins(h) for h in self.log)
        return [{name: value for name, value in raw.items() if value is not None} for raw in raws]

"""Builds played through operation by operation, as a maker would record them: a source of realistic states."""

from random import Random

from benchbell.bench.book import Book
from benchbell.bench.clocks import clocks
from benchbell.bench.happenings import (
    Began,
    Clamped,
    ClampsOff,
    CoatOn,
    Finished,
    GlueOn,
    Happening,
    Measured,
    Pared,
    RagsSafe,
    SetUp,
    Stamp,
    Started,
    WipedOff,
)
from benchbell.bench.state import bench_of
from benchbell.plan.tasks.task import CLAMPS_OFF_MINUTES, OpenBuild
from shipped import FOLDER, RECIPES, compile_file

MINUTE = 60_000
PHONE = "a" * 16


def measured_at(op, sheet):
    """What an operation measures, as planned."""
    return [Measured(s.name, "" if s.once else op.piece, s.plan) for s in sheet.sizes if s.name in op.measure]


class Played:
    """Some builds of shipped recipes, and the moment to which they were played."""

    def __init__(self, names: list[str], pieces: int, now: int) -> None:
        self.now = now
        self.n = 0
        self.books: dict[str, Book] = {}
        for number, name in enumerate(names):
            sheet = compile_file(FOLDER / f"{name}.toml", pieces)
            self.books[str(number)] = Book()
            self.record(str(number), Started(name, sheet, "", {}))

    def record(self, build: str, *whats: object) -> None:
        """Record these happenings at the present moment."""
        for what in whats:
            self.n += 1
            self.books[build].add(Happening(f"h{self.n}", self.n, Stamp(self.now, self.n, PHONE), build, (), what))

    def open(self) -> tuple[OpenBuild, ...]:
        """The builds that are not finished."""
        benches = {id: bench_of(book) for id, book in self.books.items()}
        return tuple(
            OpenBuild(id, id, sheet, bench, tuple(clocks(sheet, bench, [], self.now)))
            for id, bench in benches.items()
            if not bench.finished
            for sheet in (self.books[id].started().sheet,)
        )

    def do_what_rings(self) -> None:
        """Do what rings: scrape squeezed-out glue, take off the clamps that may come off."""
        for build in self.open():
            for clock in build.running:
                if clock.kind == "squeeze-out" and clock.phase != "running":
                    self.record(build.id, Pared(clock.operation))
                if clock.kind == "in-clamps" and clock.phase != "running":
                    self.now += CLAMPS_OFF_MINUTES * MINUTE
                    self.record(build.id, ClampsOff(clock.operation), Finished(clock.operation))

    def do(self, step: object, until: int) -> None:
        """Do a task of the plan, and be done at `until`."""
        build, id = step.build, step.operation
        op = next(op for op in self.books[build].started().sheet.operations if op.id == id)
        marks = bench_of(self.books[build]).operations[id].marks
        if step.act == "squeeze-out":
            self.now = until
            self.record(build, Pared(id))
            return
        if step.act == "clamps-off":
            self.now = until
            self.record(build, *([] if "clamps-off" in marks else [ClampsOff(id)]), Finished(id))
            return
        if "began" not in marks:
            self.record(build, *([SetUp(op.setup, op.station)] if op.setup else []), Began(id))
        self.now = until
        if op.step == "glue-up":
            self.record(build, GlueOn(id), Clamped(id))
        elif op.step == "coat":
            self.record(build, CoatOn(id), WipedOff(id), RagsSafe(id), Finished(id))
        else:
            self.record(build, *measured_at(op, self.books[build].started().sheet), Finished(id))


def some_recipes(random: Random) -> tuple[list[str], int]:
    """One to three of the shipped recipes, and how many pieces of each."""
    names = sorted(path.stem for path in RECIPES)
    return random.sample(names, random.randint(1, 3)), random.randint(1, 2)

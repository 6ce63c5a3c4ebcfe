"""Which rings are to come, and which are due: over all clocks of a build, with quiet hours and what was heard.

Moments are server time in whole ms. Which rings a clock has, and which of them counts, is bench.clocks' alone.
"""

from collections.abc import Iterable, Sequence

from msgspec import Struct

from benchbell.alerts.quiet import Quiet, rings_at
from benchbell.alerts.words import title_of
from benchbell.bench.air import Reading, reckoned
from benchbell.bench.book import Book
from benchbell.bench.clock_kinds import CLOCK_KINDS
from benchbell.bench.clocks import Clock, begun_after, clocks, is_ended, rings
from benchbell.bench.happening_kinds import HAPPENING_KINDS
from benchbell.bench.server_clock import SET_TEXTS
from benchbell.bench.state import bench_of
from benchbell.bench.unclamped import is_unclamped
from benchbell.recipe.sheet import ClockKind, Operation

BEARING = tuple(kind for kind, row in HAPPENING_KINDS.items() if not row.is_remark)
"""Kinds that the state of a build depends on: the alarms read no others."""

ALWAYS = 2**53 - 1
"""Later than any moment."""


class Running(Struct, frozen=True):
    """A clock that runs in a build. heard: rings of its operation that were acknowledged. name: the build's.

    cautions: the operation's, by id, in words. source: where the clock's time comes from.
    """

    build: str
    name: str
    op: Operation
    clock: Clock
    heard: tuple[str, ...]
    cautions: dict[str, str]
    source: str


class Alarm(Struct, frozen=True):
    """One ring of a running clock. due: when the clock wants it; at: when it is to be heard, quiet hours over.

    ring: its name, which is its own on its operation. stamp: the clock's. title: the operation's. heard: was
    acknowledged, on any device. remark: what to know of the server's clock meanwhile, "" where it was not set.
    unclamped: its glue-up takes no clamps.
    """

    build: str
    name: str
    operation: str
    title: str
    kind: ClockKind
    stage: str
    ring: str
    stamp: int
    due: int
    at: int
    heard: bool
    remark: str = ""
    unclamped: bool = False

    @property
    def key(self) -> tuple[str, str, str]:
        """What no other ring has."""
        return self.build, self.operation, self.ring

    @property
    def clock(self) -> str:
        """What all rings of one clock share, and no others: the tag of its notification."""
        return f"{self.build}|{self.operation}|{self.kind}|{self.stamp}"


def running_of(build: str, book: Book, readings: Sequence[Reading], now: int) -> list[Running]:
    """A build's clocks at `now`."""
    started, bench = book.started(), bench_of(book)
    if started is None or bench is None:
        return []
    sheet = started.sheet
    operations = {op.id: op for op in sheet.operations}
    return [
        running(
            build,
            started.name,
            operations[clock.operation],
            clock,
            bench.operations[clock.operation].heard,
            sheet.cautions,
        )
        for clock in clocks(sheet, bench, readings, now)
    ]


def air_matters_until(book: Book, readings: Sequence[Reading], now: int) -> int:
    """Until when a reading of the air, should it come in late, may change a build's clocks; in ms, 0 for never."""
    started, bench = book.started(), bench_of(book)
    if started is None or bench is None:
        return 0
    sheet, begun = started.sheet, begun_after(started.sheet, bench)
    times = [
        (state.marks[spec.starts], reckoned(sheet.figures, spec, state, readings, now))
        for op in sheet.operations
        for state in (bench.operations[op.id],)
        for spec in op.clocks
        if spec.figure and spec.starts in state.marks and not is_ended(op, spec, state, begun)
    ]
    return max((ALWAYS if time.too_cold else start + time.ms for start, time in times), default=0)


def running(
    build: str, name: str, op: Operation, clock: Clock, heard: tuple[str, ...], cautions: dict[str, str]
) -> Running:
    """One of them, with what there is to say about it."""
    said = {id: cautions[id] for id in op.cautions if id in cautions}
    source = next(spec.source for spec in op.clocks if spec.kind == clock.kind)
    return Running(build, name, op, clock, heard, said, source)


def alarms_of(running: Running, quiet: Quiet | None, now: int) -> list[Alarm]:
    """Every ring of the clock, past and to come, earliest first; of what rings on without end, the next."""
    return [
        Alarm(
            build=running.build,
            name=running.name,
            operation=ring.operation,
            title=title_of(running.op),
            kind=ring.kind,
            stage=ring.stage,
            ring=ring.name,
            stamp=running.clock.stamp,
            due=ring.at,
            at=rings_at(quiet, ring.kind, ring.at),
            heard=ring.name in running.heard,
            remark=SET_TEXTS.get(running.clock.server_clock, ""),
            unclamped=is_unclamped(running.op),
        )
        for ring in rings(running.clock, now)
    ]


def due(alarms: Iterable[Alarm], now: int) -> list[Alarm]:
    """What should ring at `now`: of each clock the latest ring whose moment has come, unless it was heard.

    First what cannot wait, then the longest due: what was missed while nobody could hear it comes in that order.
    """
    latest: dict[str, Alarm] = {}
    for alarm in alarms:
        if alarm.at <= now and (alarm.clock not in latest or alarm.due >= latest[alarm.clock].due):
            latest[alarm.clock] = alarm
    ringing = [alarm for alarm in latest.values() if not alarm.heard]
    return sorted(ringing, key=lambda a: (not CLOCK_KINDS[a.kind].any_hour, a.due, a.build, a.operation, a.ring))


def next_at(alarms: Iterable[Alarm], now: int) -> int | None:
    """When the next ring comes that was not heard yet; None when there is none to come."""
    return min((alarm.at for alarm in alarms if alarm.at > now and not alarm.heard), default=None)


def lasts_until(alarm: Alarm, alarms: Iterable[Alarm]) -> int | None:
    """When the clock's next ring takes this one's place; None for the last."""
    return min((a.at for a in alarms if a.clock == alarm.clock and a.due > alarm.due and a.at > alarm.at), default=None)


def late_ms(alarm: Alarm, now: int) -> int:
    """How late it is heard."""
    return max(0, now - alarm.due)

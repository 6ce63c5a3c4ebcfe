"""All builds that may still ring, held in memory: happenings in, alarms out.

A finished build without a running clock is released. A further happening of it has it read whole again.
"""

from collections.abc import Iterable
from math import inf

import structlog
from msgspec import Struct

from benchbell.alerts.quiet import Quiet, read_quiet
from benchbell.alerts.schedule import Alarm, Running, air_matters_until, alarms_of, running_of
from benchbell.bench.book import Book
from benchbell.bench.clock_kinds import CLOCK_KINDS
from benchbell.bench.happenings import SHOP, Happening
from benchbell.bench.shop import ShopState, shop_of
from benchbell.bench.state import bench_of
from benchbell.findings import Refused

log = structlog.get_logger()


class BuildRings(Struct, frozen=True):
    """A build's running clocks and their rings. until: work them out again from this moment (ms; inf for never)."""

    running: tuple[Running, ...]
    alarms: tuple[Alarm, ...]
    until: float


class RunningBuilds:
    """The books of the builds that may ring, and of the shop.

    failed: by build whose clocks cannot be worked out, why. quiet_error: why the setting of quiet hours cannot be
    used, or "". rings: by build, as last worked out. released: by finished build that was dropped, until when (ms) a
    reading of the air may affect it; the caller empties it. changes: goes up whenever a build's clocks are worked out.
    """

    def __init__(self) -> None:
        self.books: dict[str, Book] = {}
        self.shop_book = Book()
        self.shop = ShopState({}, ())
        self.quiet: Quiet | None = None
        self.quiet_error = ""
        self.rings: dict[str, BuildRings] = {}
        self.failed: dict[str, str] = {}
        self.released: dict[str, int] = {}
        self.changes = 0

    def holds(self, build: str) -> bool:
        """Whether the build's earlier happenings are here, so that only new ones need be added."""
        return build == SHOP or build in self.books

    def add(self, build: str, happenings: Iterable[Happening]) -> None:
        """Add a build's new happenings, or all of them; repeated ones are ignored."""
        book = self.shop_book if build == SHOP else self.books.setdefault(build, Book())
        book.know_settings(self.shop_book.clock_settings)
        new = [book.add(h) for h in happenings]
        if any(new) and build == SHOP:
            self.refresh_shop()
        elif any(new):
            self.rings.pop(build, None)

    def refresh_shop(self) -> None:
        """Read air, quiet hours and the clock's settings from the shop's book; all rings are out of date then."""
        self.shop = shop_of(self.shop_book)
        try:
            self.quiet, self.quiet_error = read_quiet(self.shop.settings.get("quiet")), ""
        except Refused as error:
            self.quiet, self.quiet_error = None, str(error)
        for book in self.books.values():
            book.know_settings(self.shop_book.clock_settings)
        self.rings.clear()

    def refresh(self, now: int) -> None:
        """Work out the rings of builds that changed, and release finished builds without a running clock."""
        for build, book in list(self.books.items()):
            try:
                self.refresh_build(build, book, now)
            except Exception as error:
                self.note_failure(build, error)

    def refresh_build(self, build: str, book: Book, now: int) -> None:
        """Work out the rings of one build if it changed; release it when it is over."""
        if build not in self.rings or self.rings[build].until <= now:
            self.rings[build] = self.rings_of(build, book, now)
            self.failed.pop(build, None)
        if not self.rings[build].running and is_over(book):
            self.released[build] = air_matters_until(book, self.shop.readings, now)
            del self.books[build], self.rings[build]

    def note_failure(self, build: str, error: Exception) -> None:
        """A build's clocks cannot be worked out: it rings for nothing until it changes, and the others ring on."""
        log.error("clocks of a build cannot be worked out", build=build, exc_info=error)
        self.failed[build] = str(error)
        self.rings[build] = BuildRings((), (), inf)

    def rings_of(self, build: str, book: Book, now: int) -> BuildRings:
        """A build's clocks and rings at `now` (ms)."""
        self.changes += 1
        running = running_of(build, book, self.shop.readings, now)
        alarms = [alarm for clock in running for alarm in alarms_of(clock, self.quiet, now)]
        reading = next((reading.ms for reading in self.shop.readings if reading.ms > now), inf)
        rings_on = (alarm.at for alarm in alarms if CLOCK_KINDS[alarm.kind].again and alarm.at > now)
        until = min(reading, max(rings_on, default=inf))
        return BuildRings(tuple(running), tuple(alarms), until)

    def running(self, now: int) -> list[Running]:
        """Every running clock at `now` (ms)."""
        self.refresh(now)
        return [clock for found in self.rings.values() for clock in found.running]

    def alarms(self, now: int) -> list[Alarm]:
        """Every ring of every running clock at `now` (ms), acknowledged ones too."""
        self.refresh(now)
        return [alarm for found in self.rings.values() for alarm in found.alarms]


def is_over(book: Book) -> bool:
    """Whether a build is finished or closed."""
    bench = bench_of(book)
    return bench is not None and (bench.finished or bench.closed)

"""All builds that may still ring, held in memory: happenings in, alarms out.

A build with nothing left to ring for is let go; one more happening of it brings it back, whole.
"""

from collections.abc import Iterable
from math import inf

from msgspec import Struct

from benchbell.alerts.quiet import Quiet, read_quiet
from benchbell.alerts.schedule import Alarm, Running, air_matters_until, alarms_of, running_of
from benchbell.bench.book import Book
from benchbell.bench.clock_kinds import CLOCK_KINDS
from benchbell.bench.happenings import SHOP, Happening
from benchbell.bench.shop import ShopState, shop_of
from benchbell.bench.state import bench_of
from benchbell.findings import Refused


class Found(Struct, frozen=True):
    """What a build rings for. until: when that must be looked at again, in ms, though nothing new came."""

    running: tuple[Running, ...]
    alarms: tuple[Alarm, ...]
    until: float


class RunningBuilds:
    """The books of the builds that may ring, and of the shop. changes: how often anything about a clock changed.

    silent: builds let go since somebody looked, and until when in ms a reading of the air may bring each back.
    """

    def __init__(self) -> None:
        self.books: dict[str, Book] = {}
        self.shop_book = Book()
        self.shop = ShopState({}, ())
        self.quiet: Quiet | None = None
        self.trouble = ""
        self.found: dict[str, Found] = {}
        self.silent: dict[str, int] = {}
        self.changes = 0

    def knows(self, build: str) -> bool:
        """Whether one happening of this build is enough; else it must be given whole."""
        return build == SHOP or build in self.books

    def add(self, build: str, happenings: Iterable[Happening]) -> None:
        """Take in what is new of a build, or all of it."""
        book = self.shop_book if build == SHOP else self.books.setdefault(build, Book())
        new = [book.add(h) for h in happenings]
        if any(new) and build == SHOP:
            self.look_at_shop()
        elif any(new):
            self.found.pop(build, None)

    def look_at_shop(self) -> None:
        """The air and the quiet hours anew: any clock may change with them."""
        self.shop = shop_of(self.shop_book)
        try:
            self.quiet, self.trouble = read_quiet(self.shop.settings.get("quiet")), ""
        except Refused as error:
            self.quiet, self.trouble = None, str(error)
        self.found.clear()

    def look(self, now: int) -> None:
        """Work out anew what changed, and let go of builds that have nothing left to ring for."""
        for build, book in list(self.books.items()):
            if build not in self.found or self.found[build].until <= now:
                self.found[build] = self.find(build, book, now)
            if not self.found[build].running and is_over(book):
                self.silent[build] = air_matters_until(book, self.shop.readings, now)
                del self.books[build], self.found[build]

    def find(self, build: str, book: Book, now: int) -> Found:
        """What a build rings for."""
        self.changes += 1
        running = running_of(build, book, self.shop.readings, now)
        alarms = [alarm for clock in running for alarm in alarms_of(clock, self.quiet, now)]
        reading = next((reading.ms for reading in self.shop.readings if reading.ms > now), inf)
        rings_on = (alarm.at for alarm in alarms if CLOCK_KINDS[alarm.kind].again and alarm.at > now)
        until = min(reading, max(rings_on, default=inf))
        return Found(tuple(running), tuple(alarms), until)

    def running(self, now: int) -> list[Running]:
        """Every clock that runs."""
        self.look(now)
        return [clock for found in self.found.values() for clock in found.running]

    def alarms(self, now: int) -> list[Alarm]:
        """Every ring of every running clock, heard ones too."""
        self.look(now)
        return [alarm for found in self.found.values() for alarm in found.alarms]


def is_over(book: Book) -> bool:
    """Whether a build is finished or put away."""
    bench = bench_of(book)
    return bench is not None and (bench.finished or bench.closed)

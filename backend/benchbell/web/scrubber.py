"""Reads all records over and over at a gentle pace, so that damage is found while phones still have what was lost.

It also lets early happenings into the log once their time has come.
"""

import asyncio
from collections import Counter
from collections.abc import Callable

import structlog
from msgspec import Struct

from benchbell.store.records import Records

log = structlog.get_logger()

ENTRIES, PHOTOS = 200, 2
"""How many are checked in one step."""

STEP_S = 1.0
"""From one step to the next: 20,000 entries take under two minutes."""

REST_S = 600.0
"""From the end of a pass to the next, in steps of STEP_S."""

MOST_PHOTOS = 50
"""Most photos that phones are asked for at once."""


class Found(Struct):
    """What the passes found.

    entries, photos: checked in this pass. passed_ms: when the last pass ended, None before the first. repaired:
    entries whose columns were put right. damaged_photos: their names. missing_photos: names of those that the log
    speaks of and that are not here, lost or not sent yet. file: what is wrong with the file, or "".
    ahead: by id of an entry stamped ahead of the server, its build; redated: ids that an undoing names.
    unreadable: by build, how many intact entries are not of their kind's form, so that nothing counts them.
    """

    entries: int = 0
    photos: int = 0
    passed_ms: int | None = None
    repaired: int = 0
    damaged_photos: tuple[str, ...] = ()
    missing_photos: tuple[str, ...] = ()
    file: str = ""
    ahead: dict[str, str] = {}
    redated: set[str] = set()
    unreadable: Counter[str] = Counter()

    @property
    def photos_to_send(self) -> tuple[str, ...]:
        """Those that phones are asked for."""
        return (*self.damaged_photos, *self.missing_photos)[:MOST_PHOTOS]

    def ahead_by_build(self) -> dict[str, int]:
        """How many entries of each build are stamped ahead and were not recorded again."""
        return Counter(build for id, build in self.ahead.items() if id not in self.redated)


class Scrubber:
    """The task that checks. clock: server time in ms. latest_stamp: gives the latest stamp, ms, that is not ahead.

    announce: is told the newest position after early happenings joined the log.
    """

    def __init__(
        self,
        records: Records,
        clock: Callable[[], int],
        latest_stamp: Callable[[], int],
        announce: Callable[[int], None],
    ) -> None:
        self.records = records
        self.clock = clock
        self.latest_stamp = latest_stamp
        self.announce = announce
        self.found = Found()
        self.task: asyncio.Task[None] | None = None

    def start(self) -> None:
        """Start the passes in a task; `close` ends it."""
        self.task = asyncio.create_task(self.run())

    async def run(self) -> None:
        """Make passes until cancelled. One that fails is logged; the next begins anew."""
        while True:
            try:
                await self.make_pass(STEP_S)
            except Exception as error:
                log.error("records cannot be checked", exc_info=error)
            for _ in range(int(REST_S / STEP_S)):
                await asyncio.sleep(STEP_S)
                await self.admit()

    async def make_pass(self, step_s: float) -> None:
        """Check everything once. step_s: seconds from one step to the next. Raises StoreError."""
        self.note_file(await self.records.scrub_file())
        await self.check_entries(step_s)
        await self.check_photos(step_s)
        self.found.passed_ms = self.clock()

    def note_file(self, wrong: str) -> None:
        """Keep what is wrong with the file, and log it when it is news."""
        if wrong and wrong != self.found.file:
            log.error("the records' file is damaged", why=wrong, next_step="Start the server again: it mends indexes.")
        self.found.file = wrong

    async def check_entries(self, step_s: float) -> None:
        """Check every entry of the log. Raises StoreError."""
        ahead: dict[str, str] = {}
        redated: set[str] = set()
        unreadable: Counter[str] = Counter()
        checked, position, more = 0, 0, True
        while more:
            await self.admit()
            seen = await self.records.scrub_entries(position, ENTRIES, self.latest_stamp())
            checked += seen.checked
            self.found.entries = checked
            self.found.repaired += seen.repaired
            ahead |= dict(seen.ahead)
            redated |= set(seen.redated)
            unreadable.update(seen.unreadable)
            position, more = seen.position, seen.position > 0
            await asyncio.sleep(step_s)
        self.found.ahead, self.found.redated, self.found.unreadable = ahead, redated, unreadable

    async def check_photos(self, step_s: float) -> None:
        """Check every photo. Raises StoreError."""
        damaged: list[str] = []
        names = await self.records.photo_names()
        self.found.missing_photos = tuple(sorted({*await self.records.photos_in_log()} - {*names}))
        self.found.photos = 0
        for first in range(0, len(names), PHOTOS):
            some = names[first : first + PHOTOS]
            damaged += await self.records.scrub_photos(some)
            self.found.photos += len(some)
            await asyncio.sleep(step_s)
        self.found.damaged_photos = tuple(damaged)

    def note_photo(self, sha256: str, is_damaged: bool) -> None:
        """Somebody read or wrote a photo, which is damaged or is not."""
        others = tuple(name for name in self.found.damaged_photos if name != sha256)
        self.found.damaged_photos = (*others, sha256) if is_damaged else others
        self.found.missing_photos = tuple(name for name in self.found.missing_photos if name != sha256)

    async def admit(self) -> None:
        """Let early happenings whose time has come into the log. Raises StoreError."""
        if await self.records.admit_early(self.latest_stamp()):
            self.announce(await self.records.newest_position())

    async def close(self) -> None:
        """Stop the passes."""
        if self.task is not None:
            self.task.cancel()
            await asyncio.wait([self.task])

"""Follows the records: which clocks run, when they ring, and the calendar entries that tell of them."""

import asyncio
from collections.abc import Callable, Sequence
from contextlib import suppress

import msgspec
import structlog

from benchbell.alerts.calendar import Kept, entry_of, outdated, revised
from benchbell.alerts.code_fingerprint import code_fingerprint
from benchbell.alerts.running_builds import RunningBuilds
from benchbell.alerts.schedule import BEARING, Alarm, alarms_of
from benchbell.bench.happenings import SHOP, Happening
from benchbell.store.envelopes import all_readable
from benchbell.store.errors import StoreError
from benchbell.store.records import Records

log = structlog.get_logger()

AT_ONCE = 200
"""Happenings folded in one go; between two goes whoever waits is served."""


class ClockTracker:
    """What the records say rings. entries: by UID, the calendar entries as handed out."""

    def __init__(self, records: Records, clock: Callable[[], int]) -> None:
        self.records = records
        self.clock = clock
        self.code = code_fingerprint()
        self.builds = RunningBuilds()
        self.position: int | None = None
        self.entries: dict[str, Kept] = {}
        self.written = -1
        self.turn = asyncio.Lock()

    async def follow(self) -> list[Alarm]:
        """All rings of all running clocks, as of the last commit; the entries are up to date then too."""
        async with self.turn:
            if self.position is None:
                await self.begin()
            else:
                await self.catch_up(self.position)
            alarms = await asyncio.to_thread(self.builds.alarms, self.clock())
            await self.keep_silent()
            if self.written != self.builds.changes:
                await self.write_entries()
            return alarms

    async def begin(self) -> None:
        """Read once what may ring; what is over and silent was kept so, or is let go as soon as that is seen."""
        position = await self.records.newest_position()
        await self.add_whole(SHOP)
        for build in await self.records.unfinished_builds(self.code):
            await self.add_whole(build)
            await asyncio.to_thread(self.builds.look, self.clock())
        kept = await self.records.calendar_entries()
        self.entries = {uid: msgspec.json.decode(body, type=Kept) for uid, body in kept.items()}
        self.position = position

    async def add_whole(self, build: str) -> None:
        """Read all of a build that a clock may hang on."""
        await asyncio.to_thread(self.builds.add, build, await self.records.happenings_of(build, BEARING))

    async def keep_silent(self) -> None:
        """Write down which builds were let go; where the disk is full, at another time: what rings comes first."""
        found, upto = self.builds.silent, self.position or 0
        if found:
            with suppress(StoreError):
                await self.records.cache_finished(found, upto, self.code)
                self.builds.silent = {}

    async def catch_up(self, position: int) -> None:
        """Read what came since."""
        more = True
        while more:
            came = await self.records.slice_after(position, AT_ONCE, BEARING)
            await self.take(all_readable(came.listed))
            position, more = came.position, came.position < came.newest
            self.position = position

    async def take(self, came: Sequence[Happening]) -> None:
        """Hand what came to the builds, build by build; one that was let go, and that it concerns, is read whole."""
        by_build: dict[str, list[Happening]] = {}
        for h in came:
            by_build.setdefault(h.build, []).append(h)
        trouble = self.builds.trouble
        for build, new in by_build.items():
            if self.builds.knows(build):
                self.builds.add(build, new)
            else:
                await self.add_whole(build)
        if SHOP in by_build:
            for build in await self.records.affected_builds(by_build[SHOP]):
                if not self.builds.knows(build):
                    await self.add_whole(build)
        if self.builds.trouble not in ("", trouble):
            log.warning("quiet hours", what=self.builds.trouble)

    async def write_entries(self) -> None:
        """Raise the SEQUENCE of every entry that changed, and keep it so."""
        now, changes = self.clock(), self.builds.changes
        running = await asyncio.to_thread(self.builds.running, now)
        made = [entry_of(clock, alarms_of(clock, self.builds.quiet, now)) for clock in running]
        new = {kept.entry.uid: kept for kept in revised(self.entries, made, now)}
        gone = outdated(self.entries.values(), now)
        if new or gone:
            bodies = {uid: msgspec.json.encode(kept) for uid, kept in new.items()}
            await self.records.keep_calendar_entries(bodies, gone)
        self.entries = {uid: kept for uid, kept in (self.entries | new).items() if uid not in gone}
        self.written = changes

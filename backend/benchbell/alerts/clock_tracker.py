"""Keeps the running clocks in step with the records: their rings, and their calendar entries."""

import asyncio
from collections.abc import Iterator, Sequence
from contextlib import suppress

import msgspec
import structlog

from benchbell.alerts.calendar import Entry, PublishedEntry, entry_of, outdated, revised
from benchbell.alerts.code_fingerprint import code_fingerprint
from benchbell.alerts.running_builds import RunningBuilds
from benchbell.alerts.schedule import BEARING, Alarm, Running, alarms_of
from benchbell.alerts.server_clock import ServerClock
from benchbell.bench.happenings import SHOP, Happening
from benchbell.store.envelopes import all_readable
from benchbell.store.errors import Damaged, StoreError
from benchbell.store.records import Records

log = structlog.get_logger()

AT_ONCE = 200
"""Happenings folded in one go. Between two goes the event loop serves others."""


class ClockTracker:
    """Which clocks run, as of the last refresh. clock: server time in ms.

    position: up to where the log was read, None before the first refresh. entries: by UID, the calendar entries as
    published. worked_out_changes: the value of builds.changes for which they were last worked out. unwritten: UIDs of
    entries that changed, or went, since the disk last took them.
    """

    def __init__(self, records: Records, clock: ServerClock) -> None:
        self.records = records
        self.clock = clock
        self.fingerprint = code_fingerprint()
        self.builds = RunningBuilds()
        self.position: int | None = None
        self.entries: dict[str, PublishedEntry] = {}
        self.worked_out_changes = -1
        self.unwritten: set[str] = set()
        self.lock = asyncio.Lock()

    async def check_clock(self) -> None:
        """Look whether the machine's clock was set; never while something goes by the clock as it was."""
        async with self.lock:
            settings = self.builds.shop_book.clock_settings
            await self.clock.check(settings[-1].what.base if settings else 0)

    async def refresh(self) -> list[Alarm]:
        """Read what was committed since; gives all rings of all running clocks, and updates `entries`.

        Raises StoreError when the records cannot be read.
        """
        async with self.lock:
            if self.position is None:
                await self.read_all()
            else:
                await self.catch_up(self.position)
            alarms = await asyncio.to_thread(self.builds.alarms, self.clock())
            await self.save_released()
            if self.worked_out_changes != self.builds.changes:
                await self.work_out_entries()
            await self.save_entries()
            return alarms

    async def read_all(self) -> None:
        """Read every build that may ring, and the entries, as they are in the records.

        Builds known to be finished are left out. One found finished is released before the next is read, so that
        memory stays small.
        """
        position = await self.records.newest_position()
        await self.add_build(SHOP)
        for build in await self.records.unfinished_builds(self.fingerprint):
            await self.add_build(build)
            await asyncio.to_thread(self.builds.refresh, self.clock())
        kept = await self.records.calendar_entries()
        self.entries = {uid: entry for uid, body in kept.items() if (entry := published(body)) is not None}
        self.position = position

    async def add_build(self, build: str) -> None:
        """Read all happenings of a build that may affect a clock. What cannot be read of one build stops no other."""
        try:
            happenings = await self.records.happenings_of(build, BEARING)
        except Damaged as error:
            self.builds.note_failure(build, error)
            return
        await asyncio.to_thread(self.builds.add, build, happenings)

    async def save_released(self) -> None:
        """Cache which builds were released. After a StoreError the next refresh tries again: rings come first."""
        found, upto = self.builds.released, self.position or 0
        if found:
            with suppress(StoreError):
                await self.records.cache_finished(found, upto, self.fingerprint)
                self.builds.released = {}

    async def catch_up(self, position: int) -> None:
        """Read what was committed after this position."""
        more = True
        while more:
            came = await self.records.slice_after(position, AT_ONCE, BEARING)
            await self.add_new(all_readable(came.listed))
            position, more = came.position, came.position < came.newest
            self.position = position

    async def add_new(self, came: Sequence[Happening]) -> None:
        """Add new happenings to their builds. A released build that they may affect is read whole again."""
        by_build: dict[str, list[Happening]] = {}
        for h in came:
            by_build.setdefault(h.build, []).append(h)
        known_error = self.builds.quiet_error
        for build, new in by_build.items():
            if self.builds.holds(build):
                self.builds.add(build, new)
            else:
                await self.add_build(build)
        if SHOP in by_build:
            for build in await self.records.affected_builds(by_build[SHOP]):
                if not self.builds.holds(build):
                    await self.add_build(build)
        if self.builds.quiet_error not in ("", known_error):
            log.warning("quiet hours ignored", why=self.builds.quiet_error)

    async def work_out_entries(self) -> None:
        """Work out the entries, and give those that changed the next SEQUENCE."""
        now, changes = self.clock(), self.builds.changes
        running = await asyncio.to_thread(self.builds.running, now)
        made = list(self.entries_for(running, now))
        new = {kept.entry.uid: kept for kept in revised(self.entries, made, now)}
        gone = outdated(self.entries.values(), now)
        self.entries = {uid: kept for uid, kept in (self.entries | new).items() if uid not in gone}
        self.unwritten |= {*new, *gone}
        self.worked_out_changes = changes

    def entries_for(self, running: Sequence[Running], now: int) -> Iterator[Entry]:
        """The entry of each clock. One that cannot be made is logged: the others are made, and all clocks ring."""
        for clock in running:
            try:
                yield entry_of(clock, alarms_of(clock, self.builds.quiet, now))
            except Exception as error:
                log.error("no calendar entry", build=clock.build, operation=clock.op.id, exc_info=error)

    async def save_entries(self) -> None:
        """Write the entries that changed. A StoreError is logged and the next refresh tries again: rings come first."""
        if not self.unwritten:
            return
        bodies = {uid: msgspec.json.encode(self.entries[uid]) for uid in self.unwritten if uid in self.entries}
        try:
            await self.records.keep_calendar_entries(bodies, self.unwritten - bodies.keys())
            self.unwritten.clear()
        except StoreError as error:
            log.warning("calendar entries not recorded", why=error.what, next_step=error.next_step)


def published(body: bytes) -> PublishedEntry | None:
    """A calendar entry as it was kept; None where its bytes are damaged: it is then published as a new one."""
    try:
        return msgspec.json.decode(body, type=PublishedEntry)
    except (msgspec.DecodeError, UnicodeDecodeError):
        return None

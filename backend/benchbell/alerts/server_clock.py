"""The server's clock: it counts as the machine's uptime does, and so never jumps.

The machine's time of day is read once in a while. Where it was set meanwhile, that is recorded, with its length, and
only then does the server's clock go over to it, under a new base (bench/server_clock.py). Until then it goes on as it
was, so that nothing rings early or late because somebody set the machine's clock. Phones learn of it with the answer
that brings the record.

A boot begins a new base too. When the time of day then stands before the last that was seen here, it is wrong: the
clock goes on from the last that was seen, and what ran meanwhile counts as if the machine had not been off.
"""

from collections.abc import Awaitable, Callable

import structlog
from msgspec.structs import replace

from benchbell.bench.happenings import SHOP, ClockSet, When
from benchbell.durations import MINUTE_MS
from benchbell.machine_clock import MachineClock
from benchbell.recipe.measure import TIME, show
from benchbell.store.envelopes import new_id
from benchbell.store.errors import StoreError
from benchbell.store.record_types import ClockReading, Entry, RandomBytes
from benchbell.store.records import Records

log = structlog.get_logger()

NOTICED_MS = 1_500
"""Less than this is no setting. Small ones add up until they are noticed."""

KEEP_EACH_MS = MINUTE_MS
"""How often the time of day is written down, for the next boot to compare with."""

LONGEST_LOOK_MS = 100
"""Two looks at uptime farther apart than this say nothing about the time of day between them."""


class ServerClock:
    """Server time in whole ms since 1970 UTC, when called. `start` first; then `check` now and then.

    announce: called after a setting was recorded. floor_ms: this server ran before until then by its own clock, so that
    it is later now. It is read again when the system vouches for the time of day, or a person does (`lower_floor`).
    """

    def __init__(self, records: Records, machine: MachineClock, random_bytes: RandomBytes) -> None:
        self.records = records
        self.machine = machine
        self.random_bytes = random_bytes
        self.reading = ClockReading("", 0, 0, 0, 0)
        self.floor_ms = 0
        self.announce: Callable[[], Awaitable[None]] | None = None

    async def start(self) -> None:
        """Go on from what was kept: the same clock within a boot, a new base after one. Raises StoreError."""
        kept = await self.records.clock_reading()
        uptime, boot = self.machine.uptime(), self.machine.boot()
        if kept is not None and kept.boot == boot:
            self.reading = kept
            return
        last = kept.wall_ms if kept is not None else await self.records.last_recorded_ms()
        wall = max(0, self.machine())
        begins = wall if last is None else max(wall, last)
        base = kept.base + 1 if kept is not None else int(last is not None)
        self.reading = ClockReading(
            boot=boot,
            offset_ms=begins - uptime,
            base=base,
            since=base,
            wall_ms=begins,
            was_trusted=kept is not None and kept.is_trusted,
            is_doubtful=begins > wall + NOTICED_MS,
        )
        await self.keep(self.reading)

    def __call__(self) -> int:
        """Server time now."""
        return self.at(self.reading)

    def at(self, reading: ClockReading) -> int:
        """Server time now, as this reading counts it: an answer goes by the one that was taken before it was made."""
        return self.machine.uptime() + reading.offset_ms

    def when(self) -> When:
        """Server time now, with its base."""
        return When(self(), self.reading.base)

    async def check(self, newest: int = 0) -> None:
        """Compare with the machine's time of day; where it was set, record that and go over to it.

        newest: the newest setting that the log knows; one that phones brought back after a restore may be newer than
        ours. When the record cannot be written the clock goes on as it was, and the next check tries again.
        """
        if newest > self.reading.base:
            await self.keep(replace(self.reading, base=newest, since=newest))
        now, by = self(), self.set_by()
        old, is_trusted = self.reading, self.machine.is_trusted()
        is_sure = is_trusted and old.was_trusted
        if abs(by) > NOTICED_MS or (old.is_doubtful and is_sure):
            try:
                await self.go_over(by, is_trusted, is_sure)
            except StoreError as error:
                log.warning("a setting of the machine's clock was not recorded", why=str(error))
        elif is_trusted != old.is_trusted or now - old.wall_ms >= KEEP_EACH_MS:
            await self.keep(replace(old, wall_ms=now, is_trusted=is_trusted))
            if is_trusted and not old.is_trusted:
                await self.lower_floor()

    async def lower_floor(self) -> None:
        """Read the floor again: a setting has moved what it comes from. Somebody vouches for the time of day."""
        try:
            self.floor_ms = await self.records.newest_server_time()
        except StoreError as error:
            log.warning("stamps ahead are taken as before", why=str(error))

    async def close(self) -> None:
        """Write down what the clock shows, for the next boot."""
        await self.keep(replace(self.reading, wall_ms=self()))

    def set_by(self) -> int:
        """How far the machine's time of day stands before this clock, in ms; 0 where it stands before 1970."""
        while True:  # a pause between the looks would be taken for a setting
            before, wall, after = self.machine.uptime(), self.machine(), self.machine.uptime()
            if wall < 0:
                return 0  # no moment at all: nothing can be recorded with it
            if after - before <= LONGEST_LOOK_MS:
                return wall - after - self.reading.offset_ms

    async def go_over(self, by: int, is_trusted: bool, is_sure: bool) -> None:
        """Record a setting, then go over to it. is_sure: the system vouches for this clock and that of the boot before.

        Raises StoreError; then the clock stays as it was.
        """
        old = self.reading
        earlier = None if is_sure or not old.since else by if old.is_doubtful else max(0, by)
        new = replace(
            old,
            offset_ms=old.offset_ms + by,
            base=old.base + 1,
            wall_ms=self() + by,
            is_trusted=is_trusted,
            is_doubtful=earlier is not None,
        )
        when = When(new.wall_ms, new.base)
        what = ClockSet(new.base, old.since, by, earlier)
        await self.records.keep_clock_reading(new, Entry(new_id(when.ms, self.random_bytes), when, SHOP, (), what))
        self.reading = new
        log.warning(setting_in_words(by, earlier is None))
        if is_trusted:
            await self.lower_floor()
        if self.announce is not None:
            await self.announce()

    async def keep(self, reading: ClockReading) -> None:
        """Go by this reading and write it down. A disk that takes nothing is logged: the clock runs on."""
        self.reading = reading
        try:
            await self.records.keep_clock_reading(reading)
        except StoreError as error:
            log.warning("the clock's reading was not kept", why=str(error))


def setting_in_words(by_ms: int, is_sure: bool) -> str:
    """A setting of the machine's clock, for the log."""
    far = show(abs(by_ms) / MINUTE_MS, TIME, "mm")
    doubt = "" if is_sure else "; for how long the machine was off before is not known"
    return f"the machine's clock was set {'forward' if by_ms > 0 else 'back'} by {far}{doubt}"

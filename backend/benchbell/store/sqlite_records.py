"""The shop's records in one data folder: a SQLite file, and the photos beside it.

`reading` and `writing` turn a function of a connection into a method. What each method gives and raises stands in
`store/records.py`.
"""

import asyncio
import sqlite3
from collections.abc import AsyncIterator, Awaitable, Callable, Coroutine, Iterable, Sequence
from functools import partial, wraps
from pathlib import Path
from typing import Any, Concatenate, ParamSpec, TypeVar

from benchbell.bench.happenings import Happening
from benchbell.store import (
    builds,
    calendar_feeds,
    devices,
    early,
    finished_cache,
    happenings,
    log_slices,
    photos,
    push_subscriptions,
    quarantine,
    redating,
    scrub,
    server_clock,
)
from benchbell.store.database import Database, faults_in, open_database, rebuild_indexes
from benchbell.store.disk_room import DiskRoom
from benchbell.store.early import ALWAYS
from benchbell.store.envelopes import check_amounts, readable, with_envelopes
from benchbell.store.errors import StoreError
from benchbell.store.log_epoch import begin_epoch, epoch
from benchbell.store.record_types import (
    Body,
    DamagedEntry,
    Exchange,
    LogSlice,
    ScrubbedEntries,
)
from benchbell.store.records import Records

P = ParamSpec("P")
T = TypeVar("T")

Work = Callable[Concatenate[sqlite3.Connection, P], T]
Method = Callable[Concatenate["SqliteRecords", P], Coroutine[Any, Any, T]]


def reading(work: Work[P, T]) -> Method[P, T]:
    """A method that runs `work` on the reading connection."""

    @wraps(work)
    async def method(records: "SqliteRecords", /, *args: P.args, **kwargs: P.kwargs) -> T:
        return await records.database.read(lambda db: work(db, *args, **kwargs))

    return method


def writing(work: Work[P, T]) -> Method[P, T]:
    """A method that runs `work` in a transaction and returns when that is on disk."""

    @wraps(work)
    async def method(records: "SqliteRecords", /, *args: P.args, **kwargs: P.kwargs) -> T:
        return await records.database.write(lambda db: work(db, *args, **kwargs))

    return method


class SqliteRecords:
    """`Records` in a data folder.

    damaged: by position, the entries that were found damaged. has_begun_epoch: since the records were opened; nobody
    can put back an earlier state of the disk meanwhile, and a device that says so again must not disturb all others.
    """

    def __init__(self, folder: Path, database: Database) -> None:
        self.folder = folder
        self.database = database
        self.damaged: dict[int, DamagedEntry] = {}
        self.room_for_photos = DiskRoom("photos")
        self.has_begun_epoch = False

    async def take(self, device: str, batch: Sequence[Body]) -> int:
        """See `Log.take`."""
        if not batch:
            return await self.database.read(partial(happenings.highest_number, device=device))
        return await self.database.write(partial(happenings.keep, device=device, sent=with_envelopes(batch)))

    async def exchange(
        self,
        device: str,
        batch: Sequence[Body],
        after: int,
        log_epoch: str,
        latest_ms: int = ALWAYS,
        confirmed: int = 0,
    ) -> Exchange:
        """See `Log.exchange`."""
        sent = with_envelopes(batch)
        check_amounts(sent)  # not of copies that heal: what was stored may come back as it was
        work = partial(
            happenings.exchange,
            device=device,
            sent=sent,
            after=after,
            log_epoch=log_epoch,
            latest_ms=latest_ms,
            confirmed=confirmed,
        )
        run = self.database.write if sent else self.database.read
        done = await run(work)
        if done.lost_its_end and not self.has_begun_epoch:
            self.has_begun_epoch = True
            await self.database.write(begin_epoch)
            done = await run(work)
        self.note_damaged(done.lacked.damaged)
        return done

    async def happenings_of(self, build: str, kinds: Sequence[str] | None = None) -> list[Happening]:
        """See `Log.happenings_of`."""
        work = partial(log_slices.bodies_of_build, build=build, kinds=kinds)
        bodies, damaged = await self.database.read(work)
        self.note_damaged(damaged)
        found = await asyncio.to_thread(lambda: [readable(body) for body in bodies])
        return [h for h in found if h.build == build]

    async def slice_after(
        self, position: int, limit: int, kinds: Sequence[str] | None = None, most_bytes: int = log_slices.MOST_BYTES
    ) -> LogSlice:
        """See `Log.slice_after`."""
        found = await self.database.read(
            partial(log_slices.slice_after, position=position, limit=limit, kinds=kinds, most_bytes=most_bytes)
        )
        self.note_damaged(found.damaged)
        return found

    def note_damaged(self, damaged: Iterable[DamagedEntry]) -> None:
        """Remember entries that were found damaged."""
        self.damaged.update((one.position, one) for one in damaged)

    async def damaged_entries(self) -> tuple[DamagedEntry, ...]:
        """See `Integrity.damaged_entries`."""
        return tuple(self.damaged[position] for position in sorted(self.damaged))

    async def scrub_entries(self, after: int, limit: int, latest_ms: int) -> ScrubbedEntries:
        """See `Integrity.scrub_entries`."""
        found = await self.database.read(partial(scrub.scrub_entries, after=after, limit=limit, latest_ms=latest_ms))
        if found.repaired:
            await self.database.write(partial(scrub.repair_columns, after=after, limit=limit))
        until = found.position or ALWAYS
        self.damaged = {place: one for place, one in self.damaged.items() if not after < place <= until}
        self.note_damaged(found.damaged)
        return found

    async def restore_entries(self, batch: Sequence[Body]) -> int:
        """See `Integrity.restore_entries`."""
        restored = await self.database.write(partial(scrub.restore_entries, sent=with_envelopes(batch)))
        for position in restored:
            self.damaged.pop(position, None)
        return len(restored)

    async def photo_names(self) -> tuple[str, ...]:
        """See `Integrity.photo_names`."""
        return await asyncio.to_thread(photos.photo_names, self.folder)

    async def scrub_photos(self, names: Sequence[str]) -> tuple[str, ...]:
        """See `Integrity.scrub_photos`."""
        return await asyncio.to_thread(photos.scrub_photos, self.folder, names)

    async def scrub_file(self) -> str:
        """See `Integrity.scrub_file`."""
        try:
            self.database.commits.same_file.check()
            wrong = await asyncio.to_thread(faults_in, self.database.file)
            if wrong:
                await self.database.write(rebuild_indexes)
                wrong = await asyncio.to_thread(faults_in, self.database.file)
        except StoreError as error:
            return error.what
        return wrong

    early_counts = reading(early.early_counts)
    admit_early = writing(redating.admit_early)
    redate = writing(redating.redate)
    newest_server_time = reading(early.newest_server_time)

    newest_position = reading(log_slices.newest_position)
    log_epoch = reading(epoch)
    record = writing(happenings.record)
    photos_in_log = reading(happenings.photos_in_log)
    last_recorded_ms = reading(happenings.last_recorded_ms)
    clock_reading = reading(server_clock.clock_reading)
    keep_clock_reading = writing(server_clock.keep_clock_reading)

    start_build = writing(builds.start_build)
    started_builds = reading(builds.started_builds)
    recorded_builds = reading(builds.recorded_builds)
    build_named = reading(builds.build_named)

    new_pairing_code = writing(devices.new_pairing_code)
    open_pairing_codes = reading(devices.open_pairing_codes)
    pair = writing(devices.pair)
    add_device = writing(devices.add_device)
    device_with_token = reading(devices.device_with_token)
    all_devices = reading(devices.all_devices)
    device_names = reading(devices.device_names)
    note_seen = writing(devices.note_seen)
    revoke = writing(devices.revoke)

    keep_in_quarantine = writing(quarantine.keep_in_quarantine)
    quarantined_from = reading(quarantine.quarantined_from)
    devices_with_quarantined = reading(quarantine.devices_with_quarantined)
    accept_quarantined = writing(quarantine.accept_quarantined)
    discard_quarantined = writing(quarantine.discard_quarantined)

    keep_subscription = writing(push_subscriptions.keep_subscription)
    drop_subscription = writing(push_subscriptions.drop_subscription)
    subscriptions = reading(push_subscriptions.subscriptions)
    note_delivered = writing(push_subscriptions.note_delivered)
    note_not_delivered = writing(push_subscriptions.note_not_delivered)
    delivered = reading(push_subscriptions.delivered)
    forget_delivered = writing(push_subscriptions.forget_delivered)

    new_feed = writing(calendar_feeds.new_feed)
    drop_feed = writing(calendar_feeds.drop_feed)
    feed_of = reading(calendar_feeds.feed_of)
    feed_with = reading(calendar_feeds.feed_with)
    note_feed_fetched = writing(calendar_feeds.note_feed_fetched)
    calendar_entries = reading(calendar_feeds.calendar_entries)
    keep_calendar_entries = writing(calendar_feeds.keep_calendar_entries)

    unfinished_builds = reading(finished_cache.unfinished_builds)
    affected_builds = reading(finished_cache.affected_builds)
    cache_finished = writing(finished_cache.cache_finished)

    async def keep_photo(self, sha256: str, chunks: AsyncIterator[bytes]) -> int:
        """See `Photos.keep_photo`."""
        try:
            kept = await photos.keep_photo(self.folder, sha256, chunks)
        except StoreError as error:
            self.room_for_photos.note_failed(error)
            raise
        self.room_for_photos.note_written()
        return kept

    async def photo(self, sha256: str) -> bytes | None:
        """See `Photos.photo`."""
        return await asyncio.to_thread(photos.photo_here, self.folder, sha256)

    async def close(self) -> None:
        """See `Records.close`."""
        await self.database.close()


async def open_records(folder: Path) -> Records:
    """The records in this data folder, created if there are none. Raises StoreError."""
    return SqliteRecords(folder, await open_database(folder))


def ask_records(folder: Path, question: Callable[[Records], Awaitable[T]]) -> T:
    """What `question` gives for the records in this folder: for a command, also while a server has them open.

    Raises StoreError, and whatever `question` raises.
    """

    async def ask() -> T:
        records = await open_records(folder)
        try:
            return await question(records)
        finally:
            await records.close()

    return asyncio.run(ask())

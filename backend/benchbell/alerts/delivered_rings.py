"""Which rings reached whom: in memory at once, and on disk as soon as there is room."""

from collections.abc import Iterable

import structlog

from benchbell.store.errors import StoreError
from benchbell.store.record_types import RingKey
from benchbell.store.records import Records

log = structlog.get_logger()


class DeliveredRings:
    """The rings that reached each device; those that the bell rang stand under SERVER.

    rings: by device, as known since the start. unwritten: of those, the ones that are not on disk yet.
    """

    def __init__(self, records: Records) -> None:
        self.records = records
        self.rings: dict[str, set[RingKey]] = {}
        self.unwritten: dict[str, set[RingKey]] = {}

    async def read(self) -> None:
        """Read what was delivered before the last stop. Raises StoreError."""
        for device, keys in (await self.records.delivered()).items():
            self.rings.setdefault(device, set()).update(keys)

    def to(self, device: str) -> frozenset[RingKey]:
        """The rings that reached this device."""
        return frozenset(self.rings.get(device, ()))

    async def note(self, device: str, key: RingKey, now: int) -> None:
        """A ring reaches the device: it never gets it again while the server runs, whatever the disk says. now: ms."""
        self.rings.setdefault(device, set()).add(key)
        self.unwritten.setdefault(device, set()).add(key)
        await self.write(now)

    async def write(self, now: int) -> None:
        """Write what is not on disk yet. A StoreError is logged; the next call tries again."""
        for device, keys in list(self.unwritten.items()):
            written = frozenset(keys)
            try:
                await self.records.note_delivered(device, written, now)
            except StoreError as error:
                log.warning("deliveries not recorded", device=device, why=error.what, next_step=error.next_step)
                return
            keys -= written
            if not keys and self.unwritten.get(device) is keys:
                del self.unwritten[device]

    async def forget(self, ringing: Iterable[RingKey], now: int) -> None:
        """Delete old deliveries from the disk, except of rings that still ring. A StoreError is logged."""
        try:
            await self.records.forget_delivered(ringing, now)
        except StoreError as error:
            log.warning("old deliveries not forgotten", why=error.what, next_step=error.next_step)

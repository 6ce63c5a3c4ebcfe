"""What the program asks of its records. `store/sqlite_records.py` answers it; nothing else knows how they are stored.

A method that writes returns when all it wrote is on disk, and writes all of it or nothing. A method that reads sees
all that was written before. Every method raises StoreError when the records cannot be read or written; a Raises line
names what else it raises. Moments are ms since 1970 UTC.
"""

from collections.abc import AsyncIterator, Iterable, Mapping, Sequence
from typing import Protocol

from benchbell.bench.happenings import Happening, Started, When
from benchbell.recipe.sheet import Sheet
from benchbell.store.integrity import Mishaps
from benchbell.store.record_types import (
    Body,
    Device,
    Entry,
    Exchange,
    Feed,
    LogSlice,
    Paired,
    RandomBytes,
    RingKey,
    Subscription,
)


class Log(Protocol):
    """The log: all happenings, each at a position that only grows."""

    async def take(self, device: str, batch: Sequence[Body]) -> int:
        """Append a device's happenings that are new; gives the last number in the batch.

        An empty batch gives the device's highest number, 0 when it has none. Raises Gap when the batch leaves a
        number out, TwoPhonesOneName when a number or id belongs to another happening, Refused when a happening has
        a field that is not allowed.
        """
        ...

    async def exchange(
        self,
        device: str,
        batch: Sequence[Body],
        after: int,
        log_epoch: str,
        latest_ms: int = ...,
        confirmed: int = ...,
    ) -> Exchange:
        """`take`, and what the device lacks after position `after`, but for what this batch brought.

        Positions of another epoch ("": this one) or beyond the newest mean nothing: then the slice begins at 0.
        confirmed: the device's highest number that was confirmed to it, 0 where it does not say. Where that, or the
        position, is beyond what is here in the same epoch, somebody has put back an earlier state of the disk: a new
        epoch begins, once for each time that the records are opened.
        latest_ms: what is stamped later does not join the log, but waits (see `EarlyHappenings`); none where left out.
        Raises what `take` raises, and Refused for a size or reading that no workshop has.
        """
        ...

    async def slice_after(
        self, position: int, limit: int, kinds: Sequence[str] | None = None, most_bytes: int = ...
    ) -> LogSlice:
        """At most `limit` happenings after `position`, about `most_bytes` of them, but at least one.

        kinds: list only these; the others count towards the limit. Damaged ones are left out and named.
        """
        ...

    async def newest_position(self) -> int:
        """The last position; 0 in an empty log."""
        ...

    async def log_epoch(self) -> str:
        """Names one unbroken run of positions, 16 hex digits. A backup and every restore begin a new one."""
        ...

    async def happenings_of(self, build: str, kinds: Sequence[str] | None = None) -> list[Happening]:
        """A build's happenings by position, only of these kinds where any are given, without damaged ones.

        `what` is None where this program cannot decode it.
        """
        ...

    async def record(self, entries: Sequence[Entry]) -> list[Happening]:
        """Append what the server itself did, all or nothing; gives it as happenings. Stamps never go back."""
        ...

    async def last_recorded_ms(self) -> int | None:
        """When the server itself last recorded something, by its clock then; None when it never did."""
        ...


class Builds(Protocol):
    """Builds by their beginning."""

    async def start_build(
        self,
        build: str,
        name: str,
        sheet: Sheet,
        recipe: str,
        when: When,
        random_bytes: RandomBytes,
        followed_by: Sequence[Entry] = (),
    ) -> Started:
        """Record that a build began, with a label code for each part that no build ever had, and what followed.

        Started before, it gives how, and records nothing. Raises BuildExists when the id belongs to another recipe,
        name, number of pieces or choice.
        """
        ...

    async def started_builds(self) -> list[str]:
        """Ids of all builds that were started, oldest first."""
        ...

    async def recorded_builds(self) -> list[str]:
        """Ids of all builds that have any happening, by id."""
        ...

    async def build_named(self, name: str) -> str:
        """The id of the build with this name or id; of several the newest. Raises Refused when there is none."""
        ...


class Devices(Protocol):
    """Paired devices, the codes that pair one, and what revoked ones sent."""

    async def new_pairing_code(self, now_ms: int, random_bytes: RandomBytes) -> str:
        """A code that pairs one device within ten minutes."""
        ...

    async def open_pairing_codes(self, now_ms: int) -> list[str]:
        """The SHA-256, in hex, of each code that pairs a device now."""
        ...

    async def pair(self, code: str, name: str, now_ms: int, random_bytes: RandomBytes) -> Paired | None:
        """Use up a code for a device of this name; None when there is no such code."""
        ...

    async def add_device(self, name: str, now_ms: int, random_bytes: RandomBytes) -> Paired:
        """A new device without a code. Gets a number behind its name where another device in use has the name."""
        ...

    async def device_with_token(self, token: str) -> Device | None:
        """The device with this token, revoked or not; None when nobody has it."""
        ...

    async def all_devices(self) -> list[Device]:
        """Every device there ever was, the first paired first."""
        ...

    async def device_names(self) -> dict[str, str]:
        """By device, the name it was paired under; the server among them."""
        ...

    async def note_seen(self, device: str, now_ms: int) -> None:
        """The device made a request."""
        ...

    async def revoke(self, name: str, now_ms: int) -> Device:
        """Shut out the device with this name or id. Raises Refused when there is none."""
        ...

    async def keep_in_quarantine(self, device: str, request: bytes, now_ms: int) -> bool:
        """Keep a revoked device's sync request once; false when it has 20 MB or 5,000 happenings here already."""
        ...

    async def quarantined_from(self, name: str) -> list[bytes]:
        """Quarantined happenings of the device with this name or id that the log does not have, as they came.

        Raises Refused when there is no such device.
        """
        ...

    async def devices_with_quarantined(self) -> list[tuple[Device, int]]:
        """`all_devices`, each with the number of its quarantined happenings that the log does not have."""
        ...

    async def accept_quarantined(self, name: str) -> int:
        """Append what is quarantined from the device with this name or id; gives how many were new.

        What cannot be read, or does not continue its numbers, stays. Raises Refused for an unknown device, or when
        nothing can be appended.
        """
        ...

    async def discard_quarantined(self, name: str) -> int:
        """Delete what is quarantined from this device; gives how many that were. Raises Refused for an unknown one."""
        ...


class Deliveries(Protocol):
    """Where to push, and which rings reached whom."""

    async def keep_subscription(self, new: Subscription) -> None:
        """Replace the device's subscription; `since_ms` stays that of its first. An endpoint has one device."""
        ...

    async def drop_subscription(self, device: str, endpoint: str | None = None) -> None:
        """Delete the device's subscription; when an endpoint is given, only if it still has that one."""
        ...

    async def subscriptions(self) -> list[Subscription]:
        """The subscriptions of all devices that are not revoked, by device."""
        ...

    async def note_delivered(self, device: str, keys: Iterable[RingKey], now_ms: int) -> None:
        """These rings reached the device; without any, its push service accepted a test."""
        ...

    async def note_not_delivered(self, device: str, trouble: str) -> None:
        """The push service refused a push, or could not be reached."""
        ...

    async def delivered(self) -> dict[str, set[RingKey]]:
        """By device, the rings that reached it."""
        ...

    async def forget_delivered(self, ringing: Iterable[RingKey], now_ms: int) -> None:
        """Delete deliveries older than 60 days, except of rings that still ring."""
        ...


class Calendars(Protocol):
    """Calendar feeds, and the entries that they handed out."""

    async def new_feed(self, device: str, now_ms: int, random_bytes: RandomBytes) -> str:
        """A new secret for the device's feed; the last one becomes void."""
        ...

    async def drop_feed(self, device: str) -> None:
        """Make the device's feed void."""
        ...

    async def feed_of(self, device: str) -> Feed | None:
        """The device's feed; None when it has none."""
        ...

    async def feed_with(self, token: str) -> Feed | None:
        """The feed with this secret; None when it is void or its device is revoked."""
        ...

    async def note_feed_fetched(self, device: str, now_ms: int) -> None:
        """A calendar fetched the device's feed."""
        ...

    async def calendar_entries(self) -> dict[str, bytes]:
        """By UID, each entry as it was kept."""
        ...

    async def keep_calendar_entries(self, changed: Mapping[str, bytes], outdated: Iterable[str]) -> None:
        """Write the changed entries, by UID, and delete the outdated ones."""
        ...


class FinishedCache(Protocol):
    """Which builds are over and ring for nothing, so that a start need not read them."""

    async def unfinished_builds(self, code: str) -> list[str]:
        """Builds that a start must read, by id. code: the fingerprint of this program."""
        ...

    async def affected_builds(self, came: Iterable[Happening]) -> list[str]:
        """Cached builds that these happenings of the shop may make ring again."""
        ...

    async def cache_finished(self, found: Mapping[str, int], read_to: int, code: str) -> None:
        """Cache builds that were found finished after reading the log up to position `read_to`.

        found: by build, the ms before which conditions of the shop may make it ring again.
        """
        ...


class Photos(Protocol):
    """Photos, each under the SHA-256 of its bytes, in lower-case hex."""

    async def keep_photo(self, sha256: str, chunks: AsyncIterator[bytes]) -> int:
        """Keep a photo; gives its size in bytes.

        Raises TooLarge, and Refused when its type is unknown, its bytes do not have this SHA-256, or its file holds
        more than the picture.
        """
        ...

    async def photo(self, sha256: str) -> bytes | None:
        """A photo's bytes; None when it is not here. Raises DamagedPhoto when they are not what its name says."""
        ...


class Records(Log, Builds, Devices, Deliveries, Calendars, FinishedCache, Photos, Mishaps, Protocol):
    """Everything that the shop keeps."""

    async def close(self) -> None:
        """Finish what waits to be written. No other method may be called afterwards."""
        ...

"""What the program asks of its records about what went wrong: bytes that rotted, stamps far ahead, clocks.

A part of `store/records.py`, whose rules hold here too.
"""

from collections.abc import Sequence
from typing import Protocol

from benchbell.bench.happenings import When
from benchbell.store.record_types import Body, ClockReading, DamagedEntry, Entry, RandomBytes, ScrubbedEntries


class Integrity(Protocol):
    """Looking for what is not as it was stored, and putting it right."""

    async def scrub_entries(self, after: int, limit: int, latest_ms: int) -> ScrubbedEntries:
        """Check the next `limit` entries after a position, and repair what can be repaired here.

        latest_ms: entries with later stamps are named as ahead.
        """
        ...

    async def damaged_entries(self) -> tuple[DamagedEntry, ...]:
        """The damaged entries met so far, by whatever read them, in the log's order."""
        ...

    async def restore_entries(self, batch: Sequence[Body]) -> int:
        """Replace damaged entries by a device's own copies, at the end of the log; gives how many.

        Copies of anything else are ignored. Raises Refused when one has a field that is not allowed.
        """
        ...

    async def photo_names(self) -> tuple[str, ...]:
        """The names of all photos, in order."""
        ...

    async def photos_in_log(self) -> tuple[str, ...]:
        """The names of all photos that entries of the log speak of, whether they have arrived or not, in order."""
        ...

    async def scrub_photos(self, names: Sequence[str]) -> tuple[str, ...]:
        """Check these photos; gives the names of those that are damaged or not there any more."""
        ...

    async def scrub_file(self) -> str:
        """Check the whole file, and make its indexes again where they are wrong; gives what stays wrong, or ""."""
        ...


class EarlyHappenings(Protocol):
    """Happenings stamped further ahead of the server's time than any honest clock: they wait outside the log."""

    async def early_counts(self) -> dict[str, tuple[int, int]]:
        """By device that has any: how many of its happenings wait, and the latest of their stamps in ms."""
        ...

    async def admit_early(self, latest_ms: int) -> int:
        """Append to the log what waits and is stamped no later than this; gives how many."""
        ...

    async def redate(self, now: When, latest_ms: int, random_bytes: RandomBytes) -> int:
        """Record again, with the server's time, what waits and what the log has later than `latest_ms`; how many.

        Each one that is replaced is undone. What is undone already is not recorded again.
        """
        ...

    async def newest_server_time(self) -> int:
        """The latest ms at which this server is known to have run by its own clock; 0 where nothing tells."""
        ...


class ClockReadings(Protocol):
    """How the server's clock stands, and that it was set."""

    async def clock_reading(self) -> ClockReading | None:
        """The server's clock as it was last kept; None before the first time."""
        ...

    async def keep_clock_reading(self, reading: ClockReading, entry: Entry | None = None) -> None:
        """Keep how the server's clock stands, and append the entry that it was set, both or neither.

        With a setting, moments kept of devices, pairing codes, subscriptions and feeds are moved by what it was set by.
        """
        ...


class Mishaps(Integrity, EarlyHappenings, ClockReadings, Protocol):
    """What went wrong with bytes, stamps and clocks, in one."""

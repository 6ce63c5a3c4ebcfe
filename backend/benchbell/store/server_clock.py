"""The SQL of the server's clock: how it was last read, and the entry that it was set."""

import sqlite3

from msgspec.structs import astuple

from benchbell.bench.happenings import ClockSet, What
from benchbell.store.happenings import record
from benchbell.store.record_types import ClockReading, Entry


def clock_reading(db: sqlite3.Connection) -> ClockReading | None:
    """The server's clock as it was last kept; None before the first time."""
    row = db.execute(
        "SELECT boot, offset_ms, base, since, wall_ms, is_trusted, was_trusted, is_doubtful FROM clock_reading"
    ).fetchone()
    return None if row is None else ClockReading(*row[:5], *map(bool, row[5:]))


MOMENTS: tuple[tuple[str, str], ...] = (
    ("device", "paired_ms"),
    ("device", "seen_ms"),
    ("device", "revoked_ms"),
    ("pairing_code", "until_ms"),
    ("push_subscription", "since_ms"),
    ("push_subscription", "good_ms"),
    ("calendar_feed", "since_ms"),
    ("calendar_feed", "fetched_ms"),
)
"""Where the server keeps moments of its own clock that it compares with the present, by table and column."""


def move_moments(db: sqlite3.Connection, what: What) -> None:
    """Move the server's own moments to its clock as it is set now: without it a device that subscribed while the clock
    was ahead would be pushed nothing until then.
    """
    if isinstance(what, ClockSet):
        for table, column in MOMENTS:
            db.execute(f"UPDATE {table} SET {column} = {column} + ?", (what.by_ms,))


def keep_clock_reading(db: sqlite3.Connection, reading: ClockReading, entry: Entry | None = None) -> None:
    """Keep how the server's clock stands, and append the entry that it was set."""
    if entry is not None:
        record(db, [entry])
        move_moments(db, entry.what)
    db.execute("INSERT OR REPLACE INTO clock_reading VALUES (1, ?, ?, ?, ?, ?, ?, ?, ?)", astuple(reading))

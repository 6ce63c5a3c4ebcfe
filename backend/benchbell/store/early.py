"""The SQL of early happenings: stamped more than a day ahead of the server, so a clock was wrong, theirs or its.

They wait outside the log, where their stamps can drag no other device along, and keep their numbers. When the server's
clock was the wrong one, their time comes soon and they join the log as they are. When it was the device's, a person
has them recorded again with the time of the server: see store/redating.py.
"""

import sqlite3
from collections.abc import Sequence
from itertools import chain

from benchbell.store.record_types import Body

ALWAYS = 2**63 - 1
"""Later than any stamp that can be kept."""

MOST_TOLD = 500
"""Most ids in one answer."""

EarlyRow = tuple[str, int, str, int, Body, int]
"""device, n, id, at_ms, body, crc."""


def keep_early(db: sqlite3.Connection, rows: Sequence[EarlyRow]) -> None:
    """Keep early happenings. One that was recorded again before, and is sent again, does not wait a second time."""
    if not rows:
        return
    places = ", ".join(["(?, ?, ?, ?, ?, ?)"] * len(rows))
    db.execute(
        f"""INSERT INTO early_happening (device, n, id, at_ms, body, crc, redated)
        SELECT column1, column2, column3, column4, column5, column6,
            EXISTS (SELECT 1 FROM early_happening WHERE id = column3 AND redated)
        FROM (VALUES {places})""",
        [*chain(*rows)],
    )


def early_ids(db: sqlite3.Connection, device: str) -> tuple[str, ...]:
    """Ids of the device's happenings that wait, at most MOST_TOLD."""
    query = "SELECT id FROM early_happening WHERE device = ? AND NOT redated LIMIT ?"
    return tuple(row[0] for row in db.execute(query, (device, MOST_TOLD)))


def early_counts(db: sqlite3.Connection) -> dict[str, tuple[int, int]]:
    """By device that has any: how many of its happenings wait, and the latest of their stamps in ms."""
    query = "SELECT device, count(*), max(at_ms) FROM early_happening WHERE NOT redated GROUP BY device"
    return {device: (count, latest_ms) for device, count, latest_ms in db.execute(query)}


def newest_server_time(db: sqlite3.Connection) -> int:
    """The latest ms at which this server is known to have run by its own clock; 0 where nothing tells."""
    return int(db.execute("SELECT coalesce(max(seen_ms), 0) FROM device").fetchone()[0])

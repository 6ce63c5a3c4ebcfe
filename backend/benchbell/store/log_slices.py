"""Slices of the log: what came after a position, and what a build has; damaged entries are left out and named."""

import sqlite3
from collections.abc import Iterable, Sequence
from typing import Any

import msgspec
from msgspec import Raw

from benchbell.store import newest_entries
from benchbell.store.checksum import SEPARATOR, bodies_in, is_intact
from benchbell.store.newest_entries import LogConnection
from benchbell.store.record_types import DamagedEntry, LogSlice

MOST_BYTES = 4_000_000
"""Largest slice in bytes, roughly: a phone must hold it in memory twice."""

MOST_ANSWERED = 1000
"""Most happenings in one round trip's answer."""

OF_KINDS = "(:kinds IS NULL OR kind IN (SELECT value FROM json_each(:kinds)))"

NEXT = "SELECT position, length(body) AS bytes FROM happening WHERE position > :after ORDER BY position LIMIT :most"

REACHED = f"""
SELECT iif(sum(bytes) <= :most_bytes, max(position), (SELECT max(position) FROM (
    SELECT position, sum(bytes) OVER (ORDER BY position) - bytes AS before FROM ({NEXT})
) WHERE before < :most_bytes)) FROM ({NEXT})
"""
"""The last position of a slice; NULL when nothing follows."""

IS_LISTED = f"NOT (device = :device AND n IN (SELECT value FROM json_each(:brought))) AND {OF_KINDS}"

SLICE = f"""
WITH reached (position) AS MATERIALIZED ({REACHED})
SELECT
    CAST(group_concat(body, char({ord(SEPARATOR)})) AS BLOB),
    sum(coalesce(crc, -1)),
    coalesce((SELECT position FROM reached), :after),
    (SELECT coalesce(max(position), 0) FROM happening)
FROM (SELECT body, crc FROM happening
    WHERE position > :after AND position <= (SELECT position FROM reached) AND {IS_LISTED} ORDER BY position)
"""
"""One row: fetching a row takes Python's global lock, so a row for each happening would wait for it each time."""

ONE_BY_ONE = f"""
SELECT position, id, build, kind, body, crc FROM happening
WHERE position > :after AND position <= :reached AND {IS_LISTED} ORDER BY position
"""


def newest_position(db: sqlite3.Connection) -> int:
    """The last position; 0 in an empty log."""
    return int(db.execute("SELECT coalesce(max(position), 0) FROM happening").fetchone()[0])


def slice_after(
    db: sqlite3.Connection,
    position: int,
    limit: int,
    kinds: Sequence[str] | None = None,
    most_bytes: int = MOST_BYTES,
    without: tuple[str, Sequence[int]] = ("", ()),
) -> LogSlice:
    """At most `limit` happenings after `position`, about `most_bytes` of them, but at least one.

    kinds: list only these. without: a device and those of its numbers that are not listed.
    """
    is_whole = kinds is None and most_bytes >= newest_entries.MOST_BYTES
    if is_whole and (found := newest_after(db, position, limit, without)):
        return found
    device, brought = without
    values = {
        "after": position,
        "most": limit,
        "most_bytes": most_bytes,
        "kinds": as_json(kinds),
        "device": device,
        "brought": as_json(brought),
    }
    joined, total, reached, newest = db.execute(SLICE, values).fetchone()
    bodies = bodies_in(joined, total)
    damaged: tuple[DamagedEntry, ...] = ()
    if bodies is None:
        bodies, damaged = divided(db.execute(ONE_BY_ONE, {**values, "reached": reached}))
    return LogSlice(Raw(b"[%s]" % b",".join(bodies)), reached, newest, damaged)


def newest_after(
    db: sqlite3.Connection, position: int, limit: int, without: tuple[str, Sequence[int]]
) -> LogSlice | None:
    """`slice_after` from memory, all up to the end of the log; None where the file must tell."""
    if not isinstance(db, LogConnection):
        return None
    newest = newest_position(db)
    found = db.newest.after(db, position, newest) if newest - position <= limit else None
    if found is None:
        return None
    device, numbers = without
    own = set(numbers)
    bodies = [body for its, n, body in found if its != device or n not in own]
    return LogSlice(Raw(b"[%s]" % b",".join(bodies)), newest, newest)


def divided(rows: Iterable[tuple[Any, ...]]) -> tuple[list[bytes], tuple[DamagedEntry, ...]]:
    """The intact bodies among rows of position, id, build, kind, body and crc; and the other entries."""
    intact, damaged = [], []
    for position, id, build, kind, body, crc in rows:
        if is_intact(body, crc):
            intact.append(body)
        else:
            damaged.append(DamagedEntry(position, str(id), str(build), str(kind)))
    return intact, tuple(damaged)


def bodies_of_build(
    db: sqlite3.Connection, build: str, kinds: Sequence[str] | None = None
) -> tuple[list[bytes], tuple[DamagedEntry, ...]]:
    """The bodies of a build's happenings by position, only of these kinds where any are given; and what is damaged."""
    where = f"FROM happening WHERE build = :build AND {OF_KINDS} ORDER BY position"
    values = {"build": build, "kinds": as_json(kinds)}
    rows = db.execute(f"SELECT body, crc {where}", values).fetchall()
    if all(is_intact(body, crc) for body, crc in rows):
        return [body for body, _ in rows], ()
    return divided(db.execute(f"SELECT position, id, build, kind, body, crc {where}", values))


def as_json(values: Sequence[object] | None) -> str | None:
    """An argument for json_each; None stays None."""
    return None if values is None else msgspec.json.encode(values).decode()

"""Scrubbing: reading all that is kept, a little at a time, to find what rotted on the disk while nobody read it.

An entry's bytes are checked against their checksum. Its other columns only find it again, so where one of them is not
what the bytes say, it is put right. Bytes that are damaged come back from a phone that still has the entry.
"""

import sqlite3
from collections.abc import Sequence
from typing import Any

from benchbell.bench.encoding import Envelope, read_envelope
from benchbell.store.checksum import checksum, is_intact
from benchbell.store.envelopes import unreadable_among
from benchbell.store.happenings import insert
from benchbell.store.label_codes import KINDS_WITH_CODES, keep_codes
from benchbell.store.record_types import Body, DamagedEntry, ScrubbedEntries, Sent
from benchbell.store.redating import ahead_and_redated

ROWS = "SELECT position, device, n, id, build, kind, body, crc FROM happening"


def scrub_entries(db: sqlite3.Connection, after: int, limit: int, latest_ms: int) -> ScrubbedEntries:
    """Check the next `limit` entries after a position. latest_ms: later stamps are called ahead."""
    rows = db.execute(f"{ROWS} WHERE position > ? ORDER BY position LIMIT ?", (after, limit)).fetchall()
    intact = [(row, read_envelope(row[6])) for row in rows if is_intact(row[6], row[7])]
    entries = [(h, row[6]) for row, h in intact]
    damaged = [damaged_entry(row) for row in rows if not is_intact(row[6], row[7])]
    repaired = [row for row, h in intact if tuple(row[2:6]) != columns_of(h)]
    ahead, redated = ahead_and_redated(entries, latest_ms)
    return ScrubbedEntries(
        position=rows[-1][0] if len(rows) == limit else 0,
        checked=len(rows),
        damaged=tuple(damaged),
        repaired=len(repaired),
        ahead=tuple(ahead),
        redated=tuple(redated),
        unreadable=tuple(h.build for h in unreadable_among(entries)),
    )


def columns_of(h: Envelope) -> tuple[int, str, str, str]:
    """What the columns n, id, build and kind of an entry must hold."""
    return h.n, h.id, h.build, h.what.kind


def damaged_entry(row: Sequence[Any]) -> DamagedEntry:
    """A row of ROWS as a damaged entry."""
    return DamagedEntry(row[0], str(row[3]), str(row[4]), str(row[5]))


def repair_columns(db: sqlite3.Connection, after: int, limit: int) -> int:
    """Put right the columns of the next `limit` entries after a position from their intact bytes; gives how many."""
    many = 0
    for row in db.execute(f"{ROWS} WHERE position > ? ORDER BY position LIMIT ?", (after, limit)).fetchall():
        if is_intact(row[6], row[7]) and tuple(row[2:6]) != (right := columns_of(read_envelope(row[6]))):
            query = "UPDATE OR IGNORE happening SET n = ?, id = ?, build = ?, kind = ? WHERE position = ?"
            many += db.execute(query, (*right, row[0])).rowcount
    return many


def restore_entries(db: sqlite3.Connection, sent: Sent) -> tuple[int, ...]:
    """Put a device's own copy of damaged entries in their place; gives the positions of those that were damaged.

    A restored entry moves to the end of the log, so that whoever passed over it while it was damaged gets it now.
    Whatever does not fit a damaged entry is left alone.
    """
    return tuple(position for h, body in sent if (position := restore_one(db, h, body)) is not None)


def restore_one(db: sqlite3.Connection, h: Envelope, body: Body) -> int | None:
    """Restore one entry; gives its old position, None when it does not fit a damaged one."""
    row = db.execute(f"{ROWS} WHERE id = ?", (h.id,)).fetchone()
    if row is None or is_intact(row[6], row[7]) or tuple(row[2:6]) != columns_of(h):
        return None
    position, device = row[:2]
    db.execute("DELETE FROM happening WHERE position = ?", (position,))
    insert(db, [(device, h.n, h.id, h.build, h.what.kind, body, checksum(body))])
    keep_codes(db, [body] if h.what.kind in KINDS_WITH_CODES else [])
    return int(position)


def damaged_entries(db: sqlite3.Connection) -> list[DamagedEntry]:
    """Every damaged entry, found by reading all of them."""
    return [damaged_entry(row) for row in db.execute(ROWS) if not is_intact(row[6], row[7])]

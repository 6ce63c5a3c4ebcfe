"""What becomes of happenings that are stamped ahead: they join the log in time, or are recorded again.

Recording again keeps the log what it is, a list that only grows: the server appends the same words with its own time,
and an undoing of each one that it replaces. So every phone is healed by its next sync.
"""

import sqlite3
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

import msgspec

from benchbell.bench.book import Book, order
from benchbell.bench.encoding import Envelope, read_envelope
from benchbell.bench.happenings import SERVER, Happening, Stamp, Undone, When
from benchbell.store.checksum import is_intact
from benchbell.store.early import EarlyRow
from benchbell.store.envelopes import claimed_ms, new_id, readable, with_envelopes
from benchbell.store.happenings import following, highest_number, insert, keep, last_stamp
from benchbell.store.label_codes import KINDS_WITH_CODES, keep_codes
from benchbell.store.log_slices import bodies_of_build
from benchbell.store.record_types import RandomBytes

NOT_AGAIN = {"conditions"}
"""Kinds that are undone and not recorded again: a reading of the air says nothing about another time."""

AS_IT_IS = {"started", "undone"}
"""Kinds whose stamp in the log does no harm: a build begins once, and what was undone is undone."""


def admit_early(db: sqlite3.Connection, latest_ms: int) -> int:
    """Append to the log what waits and is not early any more; gives how many."""
    query = """SELECT device, n, id, at_ms, body, crc FROM early_happening
        WHERE at_ms <= ? AND NOT redated ORDER BY at_ms, device, n"""
    rows: list[EarlyRow] = db.execute(query, (latest_ms,)).fetchall()
    return sum(admit(db, row) for row in rows)


def admit(db: sqlite3.Connection, row: EarlyRow) -> bool:
    """Append one to the log unless it is there by another way; a damaged one stays where it is."""
    device, n, id, _, body, crc = row
    if not is_intact(body, crc):
        return False
    if db.execute("SELECT 1 FROM happening WHERE id = ?", (id,)).fetchone() is not None:
        db.execute("UPDATE early_happening SET redated = 1 WHERE device = ? AND n = ?", (device, n))
        return False
    h = read_envelope(body)
    db.execute("DELETE FROM early_happening WHERE device = ? AND n = ?", (device, n))
    insert(db, [(device, n, id, h.build, h.what.kind, body, crc)])
    keep_codes(db, [body] if h.what.kind in KINDS_WITH_CODES else [])
    return True


def redate(db: sqlite3.Connection, now: When, latest_ms: int, random_bytes: RandomBytes) -> int:
    """Record again, with the time of the server, what waits and what stands in the log later than `latest_ms`.

    Gives how many. The order among them stays; what was undone is not recorded again. One of which only the stamp is
    ahead keeps the time at which it was recorded.
    """
    rows = db.execute("SELECT body, crc FROM early_happening WHERE NOT redated").fetchall()
    waiting = {read_envelope(body).id: body for body, crc in rows if is_intact(body, crc)}
    logged = {h.id: body for h, body in ahead_in_log(db, latest_ms)}
    found = sorted(map(readable, (waiting | logged).values()), key=lambda h: (h.build, order(h)))
    many = 0
    for build, ahead in groupby(found, key=lambda h: h.build):
        known = [*bodies_of_build(db, build)[0], *waiting.values()]
        book = Book(h for h in map(readable, known) if h.build == build)
        for h in ahead:
            if book.counts(h):
                when = h.when if h.when is not None and h.when.ms <= latest_ms else now
                replace_one(db, h, (waiting | logged)[h.id], h.id in logged, now, when, random_bytes)
                many += 1
    db.execute("UPDATE early_happening SET redated = 1")
    return many


def ahead_in_log(db: sqlite3.Connection, latest_ms: int) -> Iterator[tuple[Envelope, bytes]]:
    """Happenings of the log that are stamped later than `latest_ms`, but for those whose stamp does no harm."""
    for body, crc in db.execute("SELECT body, crc FROM happening").fetchall():
        if is_intact(body, crc):
            h = read_envelope(body)
            if claimed_ms(h) > latest_ms and h.what.kind not in AS_IT_IS:
                yield h, body


def replace_one(
    db: sqlite3.Connection,
    h: Happening,
    body: bytes,
    is_logged: bool,
    now: When,
    when: When,
    random_bytes: RandomBytes,
) -> None:
    """Record the same again under the server's number, and undo the one it replaces. when: the time it gets."""
    fields: dict[str, Any] = msgspec.json.decode(body)
    kind = fields["what"]["kind"]
    if kind == "started" and not is_logged:
        append(
            db, fields | {"id": h.id, "when": when}, now.ms, h.at.device
        )  # a build's beginning has the build's own id
        return
    if kind not in NOT_AGAIN:
        append(db, fields | {"id": new_id(now.ms, random_bytes), "when": when}, now.ms, h.at.device)
    if kind not in AS_IT_IS:
        undoing = {"build": h.build, "about": h.about, "what": Undone(h.id), "when": now}
        append(db, undoing | {"id": new_id(now.ms, random_bytes)}, now.ms, SERVER)


def append(db: sqlite3.Connection, fields: dict[str, Any], now_ms: int, device: str) -> None:
    """Append a happening with the server's next number and stamp. device: who the stamp says did it."""
    at = following(last_stamp(db), now_ms)
    numbered = fields | {"n": highest_number(db, SERVER) + 1, "at": Stamp(at.ms, at.counter, device)}
    keep(db, SERVER, with_envelopes([msgspec.json.encode(numbered)]))


def ahead_and_redated(rows: Sequence[tuple[Envelope, bytes]], latest_ms: int) -> tuple[list[Any], list[str]]:
    """Of some happenings: (id, build) of those stamped later than the limit; and what undoings undo, by id."""
    ahead = [(h.id, h.build) for h, _ in rows if claimed_ms(h) > latest_ms and h.what.kind not in AS_IT_IS]
    undoings = (readable(body).what for h, body in rows if h.what.kind == "undone")
    return ahead, [what.happening for what in undoings if isinstance(what, Undone)]

"""The log's SQL: appending what the devices send, giving out what came after a position.

A body is stored and given out as the bytes that came, so a field or kind that this server does not know survives it.
Only the server's own happenings are encoded here.
"""

import sqlite3
from collections.abc import Iterable, Sequence
from itertools import chain
from typing import Any

import msgspec
from msgspec import Raw

from benchbell.bench.encoding import Envelope, read_envelope
from benchbell.bench.happenings import SERVER, Happening, Stamp
from benchbell.bench.server_clock import when_of
from benchbell.store.checksum import SEPARATOR, bodies_in, checksum, is_intact
from benchbell.store.early import ALWAYS, EarlyRow, early_ids, keep_early
from benchbell.store.envelopes import LARGEST_COUNTER, claimed_ms, with_envelopes
from benchbell.store.errors import Gap, TwoPhonesOneName
from benchbell.store.label_codes import KINDS_WITH_CODES, keep_codes
from benchbell.store.log_epoch import epoch
from benchbell.store.record_types import Body, DamagedEntry, Entry, Exchange, LogSlice, Sent

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

Row = tuple[str, int, str, str, str, Body, int]
"""device, n, id, build, kind, body, crc."""


HIGHEST = """
SELECT max(
    coalesce((SELECT max(n) FROM happening WHERE device = ?1), 0),
    coalesce((SELECT max(n) FROM early_happening WHERE device = ?1), 0)
)
"""

IDS = """
SELECT n, id FROM happening WHERE device = ?1 AND n >= ?2
UNION ALL SELECT n, id FROM early_happening WHERE device = ?1 AND n >= ?2
"""


def exchange(
    db: sqlite3.Connection,
    device: str,
    sent: Sent,
    after: int,
    log_epoch: str,
    latest_ms: int,
    confirmed: int = 0,
) -> Exchange:
    """Keep what the device sent, and give what it lacks, in one transaction. Raises Gap, TwoPhonesOneName."""
    taken_to = keep(db, device, sent, latest_ms) if sent else highest_number(db, device)
    here = epoch(db)
    brought = (device, [h.n for h, _ in sent])
    position = after if log_epoch in ("", here) else 0
    lacked = slice_after(db, position, MOST_ANSWERED, without=brought)
    is_beyond = position > lacked.newest
    if is_beyond:
        lacked = slice_after(db, 0, MOST_ANSWERED, without=brought)
    lost_its_end = log_epoch == here and (is_beyond or confirmed > taken_to)
    return Exchange(taken_to, lacked, here, early_ids(db, device), lost_its_end)


def keep(db: sqlite3.Connection, device: str, sent: Sent, latest_ms: int = ALWAYS) -> int:
    """Append those of `sent` that are new; gives the last number in it. Raises Gap, TwoPhonesOneName.

    latest_ms: what claims a later time waits in the table of early happenings.
    """
    before = highest_number(db, device)
    new = new_among(db, device, sent, before)
    keep_early(db, [early_row(device, *one) for one in new if claimed_ms(one[0]) > latest_ms])
    rows: list[Row] = [
        (device, h.n, h.id, h.build, h.what.kind, body, checksum(body)) for h, body in new if claimed_ms(h) <= latest_ms
    ]
    try:
        insert(db, rows)
    except sqlite3.IntegrityError as error:
        raise two_phones(device, "an id", before) from error
    keep_codes(db, [row[5] for row in rows if row[4] in KINDS_WITH_CODES])
    return max(h.n for h, _ in sent)


PHOTOS = """
SELECT DISTINCT json_extract(CAST(body AS TEXT), '$.what.sha256') AS name
FROM happening WHERE kind = 'photo' AND json_valid(CAST(body AS TEXT)) ORDER BY name
"""


def photos_in_log(db: sqlite3.Connection) -> tuple[str, ...]:
    """The names of all photos that entries speak of."""
    return tuple(row[0] for row in db.execute(PHOTOS) if isinstance(row[0], str))


def new_among(db: sqlite3.Connection, device: str, sent: Sent, before: int) -> Sent:
    """Those of `sent` that go on from the device's number `before`. Raises Gap, TwoPhonesOneName."""
    if [h.n for h, _ in sent] == [*range(before + 1, before + 1 + len(sent))]:
        return sent  # nearly always; what follows asks for each
    first, taken = min(h.n for h, _ in sent), before
    known = ids_from(db, device, first) if first <= taken else {}
    new = []
    for h, body in sent:
        if h.n > taken + 1:
            raise gap(device, taken, before, h.n)
        if known.setdefault(h.n, h.id) != h.id:
            raise two_phones(device, f"number {h.n}", before)
        if h.n == taken + 1:
            taken += 1
            new.append((h, body))
    return new


def early_row(device: str, h: Envelope, body: Body) -> EarlyRow:
    """One that waits outside the log, as its row."""
    return device, h.n, h.id, claimed_ms(h), body, checksum(body)


def insert(db: sqlite3.Connection, rows: Sequence[Row]) -> None:
    """Insert all rows by one statement: each statement waits for Python's global lock on a busy server."""
    if rows:
        places = ", ".join(["(?, ?, ?, ?, ?, ?, ?)"] * len(rows))
        db.execute(
            f"INSERT INTO happening (device, n, id, build, kind, body, crc) VALUES {places}",
            [*chain.from_iterable(rows)],
        )


def gap(device: str, taken: int, before: int, got: int) -> Gap:
    """The refusal of a batch that leaves a number out; nothing of the batch was kept."""
    return Gap(
        f"Device {device} sent number {got}, but {taken + 1} is not here yet.",
        f"Send again from {before + 1}.",
        before,
    )


def two_phones(device: str, twice: str, taken: int) -> TwoPhonesOneName:
    """The refusal of a batch in which `twice`, a number or an id, belongs to another happening already."""
    return TwoPhonesOneName(
        f"Two phones share the name {device}, or one was restored: {twice} stands for two different happenings.",
        f"Fetch what is here, drop what is known, number the rest from {taken + 1} and send it again.",
        taken,
    )


def highest_number(db: sqlite3.Connection, device: str) -> int:
    """The device's highest number on disk, early happenings too; 0 when it has none."""
    return int(db.execute(HIGHEST, (device,)).fetchone()[0])


def ids_from(db: sqlite3.Connection, device: str, n: int) -> dict[int, str]:
    """The device's ids by number, for numbers from `n` on."""
    return dict(db.execute(IDS, (device, n)).fetchall())


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


def record(db: sqlite3.Connection, entries: Sequence[Entry]) -> list[Happening]:
    """Append what the server itself did; gives it as happenings. Stamps never go back."""
    return [record_one(db, entry) for entry in entries]


def record_one(db: sqlite3.Connection, entry: Entry) -> Happening:
    """Append one entry under the server's next number."""
    at = following(last_stamp(db), entry.when.ms)
    n = highest_number(db, SERVER) + 1
    h = Happening(entry.id, n, at, entry.build, entry.about, entry.what, entry.when)
    keep(db, SERVER, with_envelopes([msgspec.json.encode(h)]))
    return h


def last_of_server(db: sqlite3.Connection) -> Envelope | None:
    """The newest intact happening that the server itself recorded; None when there is none."""
    rows = db.execute("SELECT body, crc FROM happening WHERE device = ? ORDER BY n DESC", (SERVER,))
    return next((read_envelope(body) for body, crc in rows if is_intact(body, crc)), None)


def last_stamp(db: sqlite3.Connection) -> Stamp | None:
    """The stamp of the server's newest intact happening; None when there is none."""
    last = last_of_server(db)
    return None if last is None else last.at


def last_recorded_ms(db: sqlite3.Connection) -> int | None:
    """When the server itself last recorded something, by its clock then; None when it never did."""
    last = last_of_server(db)
    return None if last is None else when_of(last).ms


def following(last: Stamp | None, now_ms: int) -> Stamp:
    """The server's stamp after `last`, even when the machine's clock was set back."""
    if last is None or now_ms > last.ms:
        return Stamp(now_ms, 0, SERVER)
    if last.counter < LARGEST_COUNTER:
        return Stamp(last.ms, last.counter + 1, SERVER)
    return Stamp(last.ms + 1, 0, SERVER)

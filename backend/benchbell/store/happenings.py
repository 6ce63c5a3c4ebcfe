"""The log's SQL: appending what the devices and the server itself record.

A body is stored and given out as the bytes that came, so a field or kind that this server does not know survives it.
Only the server's own happenings are encoded here.
"""

import sqlite3
from collections.abc import Sequence
from itertools import chain

import msgspec

from benchbell.bench.encoding import Envelope, read_envelope
from benchbell.bench.happenings import SERVER, Happening, Stamp
from benchbell.bench.server_clock import when_of
from benchbell.store.checksum import checksum, is_intact
from benchbell.store.early import ALWAYS, EarlyRow, early_ids, keep_early
from benchbell.store.envelopes import LARGEST_COUNTER, claimed_ms, with_envelopes
from benchbell.store.errors import Gap, TwoPhonesOneName
from benchbell.store.label_codes import KINDS_WITH_CODES, keep_codes
from benchbell.store.log_epoch import epoch
from benchbell.store.log_slices import MOST_ANSWERED, slice_after
from benchbell.store.newest_entries import LogConnection, state_of
from benchbell.store.record_types import Body, Entry, Exchange, Sent

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
    if not rows:
        return
    before = state_of(db)
    places = ", ".join(["(?, ?, ?, ?, ?, ?, ?)"] * len(rows))
    last = db.execute(
        f"INSERT INTO happening (device, n, id, build, kind, body, crc) VALUES {places}",
        [*chain.from_iterable(rows)],
    ).lastrowid
    if isinstance(db, LogConnection) and last is not None:
        db.newest.append(db, before, last, [(device, n, bytes(body)) for device, n, _, _, _, body, _ in rows])


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

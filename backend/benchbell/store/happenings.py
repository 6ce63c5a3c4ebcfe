"""Keep what the devices send, to the letter; give what came after a position.

Nobody here writes a happening anew: a body goes in and out as it came, so that what an older server
does not know survives it. Only the server's own happenings are written here.
"""

import asyncio
import re
import sqlite3
from collections.abc import Callable, Sequence
from functools import partial
from itertools import chain
from operator import attrgetter
from typing import Any
from uuid import UUID

import msgspec
from msgspec import Raw, Struct

from benchbell.bench.encoding import Envelope, read_envelope, read_happening
from benchbell.bench.happenings import SERVER, Happening, Stamp, What
from benchbell.findings import Refused
from benchbell.store.database import Database

UUID7 = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
DEVICE = re.compile(r"[0-9a-f]{16}")
MOST = 2**53 - 1
"""The greatest whole number that every page can hold exactly."""

_happenings = msgspec.json.Decoder(list[Happening])

MOST_BYTES = 4_000_000
"""About as much as one answer carries: a phone must hold it in memory twice."""


FORM: tuple[tuple[str, str, Callable[[Envelope], Any], Callable[[Any], object]], ...] = (
    ("id", "a UUIDv7 in lower case", attrgetter("id"), UUID7.fullmatch),
    ("n", f"1 to {MOST}", attrgetter("n"), range(1, MOST + 1).__contains__),
    ("at.ms", f"0 to {MOST}", attrgetter("at.ms"), range(MOST + 1).__contains__),
    ("at.counter", "0 to 65535", attrgetter("at.counter"), range(65536).__contains__),
    ("at.device", "16 lower-case hex digits", attrgetter("at.device"), DEVICE.fullmatch),
)
"""Of an envelope: what each field must be, and whether it is."""

OF_KINDS = "(:kinds IS NULL OR kind IN (SELECT value FROM json_each(:kinds)))"

NEXT = "SELECT position, length(body) AS bytes FROM happening WHERE position > :after ORDER BY position LIMIT :most"

Body = bytes | Raw
"""A happening to the letter; Raw where it is still a piece of what came in."""

Sent = Sequence[tuple[Envelope, Body]]

Row = tuple[str, int, str, str, str, Body]
"""device, n, id, build, kind, body."""

LACKING = f"""
SELECT
    CAST(group_concat(
        CASE WHEN device = :device AND n IN (SELECT value FROM json_each(:brought)) THEN NULL
        WHEN {OF_KINDS} THEN body END
    ) AS BLOB),
    coalesce(max(position), :after),
    (SELECT coalesce(max(position), 0) FROM happening)
FROM (SELECT position, device, n, kind, body FROM happening WHERE position > :after ORDER BY position LIMIT iif(
    (SELECT sum(bytes) FROM ({NEXT})) <= :most_bytes,
    :most,
    (SELECT count(*) FROM (SELECT sum(bytes) OVER (ORDER BY position) - bytes AS before FROM ({NEXT}))
        WHERE before < :most_bytes)
))
"""
"""One row, so that the thread that reads waits once for its turn, not once for each happening."""


class Misnumbered(Refused):
    """A batch does not follow on what is here. taken_to: the highest n of this device that is on disk."""

    def __init__(self, what: str, next_step: str, taken_to: int) -> None:
        super().__init__(what, next_step)
        self.taken_to = taken_to


class Gap(Misnumbered):
    """Numbers are missing before this batch."""


class TwoPhonesOneName(Misnumbered):
    """One number, or one id, stands for two happenings: a restored phone, or a copied one."""


class Lacked(Struct, frozen=True):
    """What somebody lacks, a JSON list to the letter. position: the last one looked at; newest: the last there is."""

    listed: Raw
    position: int
    newest: int


async def take(database: Database, device: str, batch: Sequence[Body]) -> int:
    """Keep a device's happenings; gives the batch's last n, which is now safely on disk as it was sent.

    An empty batch gives the highest n there is. All of the batch or nothing. Sending the same again does no harm.
    Raises Gap when a number is left out, TwoPhonesOneName when one is used twice,
    Refused when an envelope is not of its form.
    """
    if not batch:
        return await database.read(partial(highest, device=device))
    sent = opened(batch)
    return await database.write(lambda db: keep(db, device, sent))


def opened(batch: Sequence[Body]) -> Sent:
    """Each happening with its envelope. Raises Refused when one is not of its form."""
    envelopes = [read_envelope(body) for body in batch]
    fit(envelopes)
    return list(zip(envelopes, batch, strict=True))


def keep(db: sqlite3.Connection, device: str, sent: Sent) -> int:
    """`take`, inside its transaction."""
    before = taken = highest(db, device)
    first = min((h.n for h, _ in sent), default=taken + 1)
    known = ids_from(db, device, first) if first <= taken else {}
    rows: list[Row] = []
    for h, body in sent:
        if h.n > taken + 1:
            raise gap(device, taken, before, h.n)
        if known.setdefault(h.n, h.id) != h.id:
            raise two_phones(device, f"number {h.n}", before)
        if h.n == taken + 1:
            rows.append((device, h.n, h.id, h.build, h.what.kind, body))
            taken += 1
    try:
        insert(db, rows)
    except sqlite3.IntegrityError as error:
        raise two_phones(device, "an id", before) from error
    return max(h.n for h, _ in sent)


def insert(db: sqlite3.Connection, rows: Sequence[Row]) -> None:
    """All rows in one statement: row by row the two threads of a busy server would wait for each other each time."""
    if rows:
        places = ", ".join(["(?, ?, ?, ?, ?, ?)"] * len(rows))
        db.execute(f"INSERT INTO happening (device, n, id, build, kind, body) VALUES {places}", [*chain(*rows)])


def fit(envelopes: Sequence[Envelope]) -> None:
    """Raises Refused unless each one's id, number and stamp are of their form. What many share is looked at once."""
    for field, wanted, of, good in FORM:
        if not all(map(good, set(map(of, envelopes)))):
            met = next(of(h) for h in envelopes if not good(of(h)))
            raise Refused(
                f"A happening's {field} is {met!r:.60}; it must be {wanted}.", "Update the page on that device."
            )


def gap(device: str, taken: int, before: int, got: int) -> Gap:
    """Tells the device where to begin again; nothing of the batch was kept."""
    return Gap(
        f"Device {device} sent number {got}, but {taken + 1} is not here yet.",
        f"Send again from {before + 1}.",
        before,
    )


def two_phones(device: str, twice: str, taken: int) -> TwoPhonesOneName:
    """Tells the device to look at what is here before it numbers its own again."""
    return TwoPhonesOneName(
        f"Two phones share the name {device}, or one was restored: {twice} stands for two different happenings.",
        f"Fetch what is here, drop what is known, number the rest from {taken + 1} and send it again.",
        taken,
    )


def highest(db: sqlite3.Connection, device: str) -> int:
    """The device's highest number on disk; 0 when it has none."""
    return int(db.execute("SELECT coalesce(max(n), 0) FROM happening WHERE device = ?", (device,)).fetchone()[0])


def ids_from(db: sqlite3.Connection, device: str, n: int) -> dict[int, str]:
    """The device's ids by number, from `n` on."""
    return dict(db.execute("SELECT n, id FROM happening WHERE device = ? AND n >= ?", (device, n)).fetchall())


def newest(db: sqlite3.Connection) -> int:
    """The last position; 0 in an empty book."""
    return int(db.execute("SELECT coalesce(max(position), 0) FROM happening").fetchone()[0])


def after(
    db: sqlite3.Connection,
    position: int,
    limit: int,
    most_bytes: int = MOST_BYTES,
    kinds: Sequence[str] | None = None,
    but: tuple[str, Sequence[int]] = ("", ()),
) -> Lacked:
    """At most `limit` happenings after `position`, and about `most_bytes` of them, but at least one.

    kinds: only these. but: a device, and numbers of its own that it does not need: it has just brought them.
    """
    device, brought = but
    asked = {
        "after": position,
        "most": limit,
        "most_bytes": most_bytes,
        "kinds": as_json(kinds),
        "device": device,
        "brought": as_json(brought),
    }
    bodies, reached, last = db.execute(LACKING, asked).fetchone()
    return Lacked(Raw(b"[%s]" % (bodies or b"")), reached, last)


async def of_build(database: Database, build: str, kinds: Sequence[str] | None = None) -> list[Happening]:
    """A build's happenings as they came, of these kinds; `what` is None where this program cannot read it."""
    query = f"SELECT body FROM happening WHERE build = :build AND {OF_KINDS} ORDER BY position"
    asked = {"build": build, "kinds": as_json(kinds)}
    rows = await database.read(lambda db: db.execute(query, asked).fetchall())
    return await asyncio.to_thread(lambda: [readable(body) for (body,) in rows])


def as_json(these: Sequence[object] | None) -> str | None:
    """For json_each; None stays None."""
    return None if these is None else msgspec.json.encode(these).decode()


def all_readable(listed: Raw) -> list[Happening]:
    """The happenings of a JSON list, each as `readable` gives it; in one go where all are of their form."""
    try:
        return _happenings.decode(listed)
    except msgspec.DecodeError:
        return [readable(body) for body in msgspec.json.decode(listed, type=list[Raw])]


def readable(body: Body) -> Happening:
    """The happening; one of a known kind but not of its form is kept like one of an unknown kind."""
    try:
        return read_happening(body)
    except Refused:
        h = read_envelope(body)
        return Happening(h.id, h.n, h.at, h.build, h.about, None)


def record(db: sqlite3.Connection, id: str, now_ms: int, build: str, about: tuple[str, ...], what: What) -> Happening:
    """Write down what the server itself did, inside a transaction. Its stamps never go back."""
    last = db.execute("SELECT body FROM happening WHERE device = ? ORDER BY n DESC LIMIT 1", (SERVER,)).fetchone()
    n, at = (1, Stamp(now_ms, 0, SERVER)) if last is None else following(read_envelope(last[0]), now_ms)
    h = Happening(id, n, at, build, about, what)
    body = msgspec.json.encode(h)
    keep(db, SERVER, opened([body]))
    return h


def new_id(now_ms: int, random_bytes: Callable[[int], bytes]) -> str:
    """A UUIDv7: 48 bits of time in ms, 74 of chance (RFC 9562, section 5.7)."""
    chance = int.from_bytes(random_bytes(10))
    number = now_ms << 80 | 0x7 << 76 | (chance >> 62 & 0xFFF) << 64 | 0b10 << 62 | chance & (1 << 62) - 1
    return str(UUID(int=number))


def following(last: Envelope, now_ms: int) -> tuple[int, Stamp]:
    """The next number and stamp after `last`, even where the machine's clock was set back."""
    at = Stamp(now_ms, 0, SERVER) if now_ms > last.at.ms else Stamp(last.at.ms, last.at.counter + 1, SERVER)
    return last.n + 1, at

"""What a revoked device sent: kept aside, whole and to the letter, until a person takes it or lets it lie.

A lost phone may come back with work on it that was never synced; a stolen one may send anything. Paired anew, the
phone sends that work once more by itself; what has come into the book, either way, is kept aside no longer.
"""

import hashlib
import sqlite3

import msgspec
from msgspec import Raw, Struct

from benchbell.findings import Refused
from benchbell.store.happenings import Misnumbered, keep, opened

MOST_BYTES = 20_000_000
"""Of one device: ten full batches. What does not fit stays on the phone."""


class Sent(Struct, frozen=True):
    """What of a request matters here."""

    happenings: list[Raw] = []


class Named(Struct, frozen=True):
    """What of a happening tells whether it is in the book."""

    id: str = ""


def keep_aside(db: sqlite3.Connection, device: str, body: bytes, now_ms: int) -> bool:
    """Keep a request's body, once however often it comes; false when there is no room for it."""
    query = "SELECT coalesce(sum(length(body)), 0) FROM kept_aside WHERE device = ?"
    if db.execute(query, (device,)).fetchone()[0] + len(body) > MOST_BYTES:
        return False
    db.execute(
        "INSERT OR IGNORE INTO kept_aside (device, received_ms, sha256, body) VALUES (?, ?, ?, ?)",
        (device, now_ms, hashlib.sha256(body).digest(), body),
    )
    return True


def kept_aside(db: sqlite3.Connection, device: str) -> list[bytes]:
    """The device's happenings kept aside that are not in the book, each once, in the order they came."""
    bodies = db.execute("SELECT body FROM kept_aside WHERE device = ? ORDER BY id", (device,))
    sent = (bytes(raw) for (body,) in bodies for raw in msgspec.json.decode(body, type=Sent).happenings)
    ids = {body: id_of(body) for body in sent}
    query = "SELECT id FROM happening WHERE id IN (SELECT value FROM json_each(?))"
    known = {id for (id,) in db.execute(query, (msgspec.json.encode([*ids.values()]).decode(),))}
    return [body for body, id in ids.items() if id not in known]


def id_of(body: bytes) -> str:
    """A happening's id; none where it is of no form."""
    try:
        return msgspec.json.decode(body, type=Named).id
    except msgspec.DecodeError:
        return ""


def take_in(db: sqlite3.Connection, device: str) -> int:
    """Take what was kept aside into the book after all, inside a transaction; gives how many were new.

    Raises Refused when it does not follow on what is there.
    """
    bodies = kept_aside(db, device)
    if not bodies:
        raise Refused("Nothing of this device is kept aside.", "See what is with benchbell devices.")
    before = db.total_changes
    try:
        keep(db, device, opened(bodies))
    except Misnumbered as error:
        raise Refused(error.what, "Pair the device anew: it then sends by itself what is not here.") from error
    taken = db.total_changes - before
    db.execute("DELETE FROM kept_aside WHERE device = ?", (device,))
    return taken

"""What a revoked device sent: kept aside, whole and to the letter, until a person takes it or lets it lie.

A lost phone may come back with work on it that was never synced; a stolen one may send anything.
"""

import hashlib
import sqlite3

import msgspec
from msgspec import Raw, Struct

from benchbell.findings import Refused
from benchbell.store.happenings import keep, opened

MOST_BYTES = 20_000_000
"""Of one device: ten full batches. What does not fit stays on the phone."""


class Sent(Struct, frozen=True):
    """What of a request matters here."""

    happenings: list[Raw] = []


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
    """The device's happenings kept aside, each once, in the order they came."""
    bodies = db.execute("SELECT body FROM kept_aside WHERE device = ? ORDER BY id", (device,))
    sent = [bytes(raw) for (body,) in bodies for raw in msgspec.json.decode(body, type=Sent).happenings]
    return list(dict.fromkeys(sent))


def take_in(db: sqlite3.Connection, device: str) -> int:
    """Take what was kept aside into the book after all, inside a transaction; gives how many were new.

    Raises Refused when it does not follow on what is there.
    """
    bodies = kept_aside(db, device)
    if not bodies:
        raise Refused("Nothing of this device is kept aside.", "See what is with benchbell devices.")
    before = db.total_changes
    keep(db, device, opened(bodies))
    taken = db.total_changes - before
    db.execute("DELETE FROM kept_aside WHERE device = ?", (device,))
    return taken

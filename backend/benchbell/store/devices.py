"""Devices and how they prove who they are: a one-time code for pairing, then a token each.

A pairing code looks like a label's (35 random bits and a check character), so that the page can tell a slip of
the finger before it asks. Neither codes nor tokens are kept, only their SHA-256: who reads the file can ask for
nothing. A token has 256 random bits, so that a plain hash is enough; a code is short, but it lives ten minutes
and few may be tried.
"""

import hashlib
import sqlite3
from collections.abc import Callable

from msgspec import Struct

from benchbell.bench.happenings import SERVER
from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused
from benchbell.recipe.label_code import BITS, new_code, normal

RandomBytes = Callable[[int], bytes]

CODE_MS = 10 * MINUTE_MS
TOKEN_BYTES = 32
MOST_WRONG = 20
"""Wrong codes after which all open ones are void: a guesser has 20 chances in 34 thousand million."""

NOTE_SEEN_MS = MINUTE_MS
"""How exactly `seen_ms` is kept; each note is a write."""


class Device(Struct, frozen=True):
    """A paired device. Moments are ms since 1970 UTC; revoked_ms is None while it is welcome."""

    id: str
    name: str
    paired_ms: int
    seen_ms: int
    revoked_ms: int | None


class Paired(Struct, frozen=True):
    """A device just paired, and the token that only it will know."""

    device: Device
    token: str


def hashed(secret: str) -> bytes:
    """What is kept of a code or token."""
    return hashlib.sha256(secret.encode()).digest()


def new_pairing_code(db: sqlite3.Connection, now_ms: int, random_bytes: RandomBytes) -> str:
    """A code that pairs one device within ten minutes, inside a transaction."""
    code = new_code(int.from_bytes(random_bytes(8)) % 2**BITS)
    db.execute("DELETE FROM pairing_code WHERE until_ms < ?", (now_ms,))
    db.execute("INSERT INTO pairing_code (code, until_ms) VALUES (?, ?)", (hashed(code), now_ms + CODE_MS))
    return code


def pair(db: sqlite3.Connection, code: str, name: str, now_ms: int, random_bytes: RandomBytes) -> Paired | None:
    """Spend a code on a device of this name, inside a transaction; None when there is no such code."""
    spent = db.execute("DELETE FROM pairing_code WHERE code = ? AND until_ms >= ?", (hashed(normal(code)), now_ms))
    return add(db, name, now_ms, random_bytes) if spent.rowcount else None


def add(db: sqlite3.Connection, name: str, now_ms: int, random_bytes: RandomBytes) -> Paired:
    """A new device under a name that no other welcome device has."""
    device = Device(random_bytes(8).hex(), free_name(db, name), now_ms, now_ms, None)
    token = random_bytes(TOKEN_BYTES).hex()
    db.execute(
        "INSERT INTO device (id, name, token, paired_ms, seen_ms) VALUES (?, ?, ?, ?, ?)",
        (device.id, device.name, hashed(token), now_ms, now_ms),
    )
    return Paired(device, token)


def free_name(db: sqlite3.Connection, name: str) -> str:
    """The name in printable characters, with a number where another welcome device has it."""
    plain = " ".join("".join(c if c.isprintable() else " " for c in name).split())[:60] or "device"
    taken = {row[0] for row in db.execute("SELECT name FROM device WHERE revoked_ms IS NULL")}
    return next(n for n in (plain, *(f"{plain} {number}" for number in range(2, len(taken) + 3))) if n not in taken)


def void_codes(db: sqlite3.Connection) -> None:
    """No open code is good any more."""
    db.execute("DELETE FROM pairing_code")


DEVICE = "SELECT id, name, paired_ms, seen_ms, revoked_ms FROM device"


def by_token(db: sqlite3.Connection, token: str) -> Device | None:
    """Whose token this is."""
    row = db.execute(f"{DEVICE} WHERE token = ?", (hashed(token),)).fetchone()
    return None if row is None else Device(*row)


def all_devices(db: sqlite3.Connection) -> list[Device]:
    """Every device there ever was, the first paired first."""
    return [Device(*row) for row in db.execute(f"{DEVICE} ORDER BY paired_ms, id")]


def device_names(db: sqlite3.Connection) -> dict[str, str]:
    """By device, the name it was paired under."""
    return {SERVER: "the server"} | {device.id: device.name for device in all_devices(db)}


def note_seen(db: sqlite3.Connection, device: str, now_ms: int) -> None:
    """It was here."""
    db.execute("UPDATE device SET seen_ms = max(seen_ms, ?) WHERE id = ?", (now_ms, device))


def device_named(db: sqlite3.Connection, name: str) -> Device:
    """The device of this name or id, a welcome one rather than a revoked one. Raises Refused."""
    fitting = [device for device in all_devices(db) if name in (device.id, device.name)]
    if not fitting:
        raise Refused(f"There is no device “{name}”.", "See their names with benchbell devices.")
    return min(fitting, key=lambda device: (device.revoked_ms is not None, -device.paired_ms))


def revoke(db: sqlite3.Connection, name: str, now_ms: int) -> Device:
    """The device of this name or id is not welcome any more. Raises Refused when there is none."""
    device = device_named(db, name)
    db.execute("UPDATE device SET revoked_ms = coalesce(revoked_ms, ?) WHERE id = ?", (now_ms, device.id))
    return device_named(db, device.id)

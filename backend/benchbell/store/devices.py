"""The SQL of devices, and how they prove who they are: a one-time code for pairing, then a token each.

A pairing code looks like a label's (35 random bits and a check character), so the page finds a typing error before it
asks. Only the SHA-256 of a code or token is stored, so whoever reads the file cannot act as a device. A token has 256
random bits, for which a plain hash is enough. A code is short, but it lives ten minutes and withstands a limited number
of wrong tries (`web/limits.py`).
"""

import hashlib
import sqlite3

from benchbell.bench.happenings import SERVER
from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused
from benchbell.recipe.label_code import BITS, new_code, normalized
from benchbell.store.record_types import Device, Paired, RandomBytes

CODE_MS = 10 * MINUTE_MS
"""How long a pairing code can be used."""

TOKEN_BYTES = 32
NOTE_SEEN_MS = MINUTE_MS
"""How exactly `seen_ms` is kept; each note is a write."""

DEVICE = "SELECT id, name, paired_ms, seen_ms, revoked_ms FROM device"


def hashed(secret: str) -> bytes:
    """The SHA-256 under which a code or token is stored."""
    return hashlib.sha256(secret.encode()).digest()


def new_pairing_code(db: sqlite3.Connection, now_ms: int, random_bytes: RandomBytes) -> str:
    """A code that pairs one device within CODE_MS."""
    code = new_code(int.from_bytes(random_bytes(8)) % 2**BITS)
    db.execute("DELETE FROM pairing_code WHERE until_ms < ?", (now_ms,))
    db.execute("INSERT INTO pairing_code (code, until_ms) VALUES (?, ?)", (hashed(code), now_ms + CODE_MS))
    return code


def code_hash(code: str) -> str:
    """The hash of a code as somebody typed it, in hex, as `open_pairing_codes` gives it."""
    return hashed(normalized(code)).hex()


def open_pairing_codes(db: sqlite3.Connection, now_ms: int) -> list[str]:
    """The hash of each code that pairs a device now, in hex."""
    return [row[0].hex() for row in db.execute("SELECT code FROM pairing_code WHERE until_ms >= ?", (now_ms,))]


def pair(db: sqlite3.Connection, code: str, name: str, now_ms: int, random_bytes: RandomBytes) -> Paired | None:
    """Use up a code for a device of this name; None when there is no such code."""
    spent = db.execute("DELETE FROM pairing_code WHERE code = ? AND until_ms >= ?", (hashed(normalized(code)), now_ms))
    return add_device(db, name, now_ms, random_bytes) if spent.rowcount else None


def add_device(db: sqlite3.Connection, name: str, now_ms: int, random_bytes: RandomBytes) -> Paired:
    """A new device, under a name that no other device in use has."""
    device = Device(random_bytes(8).hex(), free_name(db, name), now_ms, now_ms, None)
    token = random_bytes(TOKEN_BYTES).hex()
    db.execute(
        "INSERT INTO device (id, name, token, paired_ms, seen_ms) VALUES (?, ?, ?, ?, ?)",
        (device.id, device.name, hashed(token), now_ms, now_ms),
    )
    return Paired(device, token)


def free_name(db: sqlite3.Connection, name: str) -> str:
    """The name in printable characters, at most 60, with a number where another device in use has it."""
    plain = " ".join("".join(c if c.isprintable() else " " for c in name).split())[:60] or "device"
    taken = {row[0] for row in db.execute("SELECT name FROM device WHERE revoked_ms IS NULL")}
    return next(n for n in (plain, *(f"{plain} {number}" for number in range(2, len(taken) + 3))) if n not in taken)


def device_with_token(db: sqlite3.Connection, token: str) -> Device | None:
    """The device with this token, revoked or not; None when nobody has it."""
    row = db.execute(f"{DEVICE} WHERE token = ?", (hashed(token),)).fetchone()
    return None if row is None else Device(*row)


def all_devices(db: sqlite3.Connection) -> list[Device]:
    """Every device there ever was, the first paired first."""
    return [Device(*row) for row in db.execute(f"{DEVICE} ORDER BY paired_ms, id")]


def device_names(db: sqlite3.Connection) -> dict[str, str]:
    """By device, the name it was paired under; the server among them."""
    return {SERVER: "the server"} | {device.id: device.name for device in all_devices(db)}


def note_seen(db: sqlite3.Connection, device: str, now_ms: int) -> None:
    """The device made a request."""
    db.execute("UPDATE device SET seen_ms = max(seen_ms, ?) WHERE id = ?", (now_ms, device))


def device_named(db: sqlite3.Connection, name: str) -> Device:
    """The device with this name or id; one in use rather than a revoked one. Raises Refused when there is none."""
    fitting = [device for device in all_devices(db) if name in (device.id, device.name)]
    if not fitting:
        raise Refused(f"There is no device “{name}”.", "See their names with benchbell devices.")
    return min(fitting, key=lambda device: (device.revoked_ms is not None, -device.paired_ms))


def revoke(db: sqlite3.Connection, name: str, now_ms: int) -> Device:
    """Shut out the device with this name or id. Raises Refused when there is none."""
    device = device_named(db, name)
    db.execute("UPDATE device SET revoked_ms = coalesce(revoked_ms, ?) WHERE id = ?", (now_ms, device.id))
    return device_named(db, device.id)

"""The SQL of the quarantine: what a revoked device sent, unchanged, until a person accepts it.

A lost phone may come back with work on it that was never synced; a stolen one may send anything. When the device is
paired again, it sends that work again by itself. What the log has by either way is no longer listed here.
"""

import hashlib
import sqlite3

import msgspec
from msgspec import Raw, Struct

from benchbell.findings import Refused
from benchbell.store.devices import all_devices, device_named
from benchbell.store.envelopes import with_envelopes
from benchbell.store.errors import Misnumbered
from benchbell.store.happenings import keep, newest_position
from benchbell.store.record_types import Device

MOST_BYTES = 20_000_000
"""Of one device: ten full batches. What does not fit stays on the phone."""


class HappeningsOnly(Struct, frozen=True):
    """A sync request of which only the happenings are decoded."""

    happenings: list[Raw] = []


class IdOnly(Struct, frozen=True):
    """A happening of which only the id is decoded."""

    id: str = ""


def keep_in_quarantine(db: sqlite3.Connection, device: str, request: bytes, now_ms: int) -> bool:
    """Keep a sync request's body, once however often it comes; false when the device has no room left."""
    query = "SELECT coalesce(sum(length(body)), 0) FROM quarantine WHERE device = ?"
    if db.execute(query, (device,)).fetchone()[0] + len(request) > MOST_BYTES:
        return False
    db.execute(
        "INSERT OR IGNORE INTO quarantine (device, received_ms, sha256, body) VALUES (?, ?, ?, ?)",
        (device, now_ms, hashlib.sha256(request).digest(), request),
    )
    return True


def quarantined(db: sqlite3.Connection, device: str) -> list[bytes]:
    """The device's quarantined happenings that the log does not have, each once, in the order they came."""
    requests = db.execute("SELECT body FROM quarantine WHERE device = ? ORDER BY id", (device,))
    bodies = (bytes(raw) for (body,) in requests for raw in happenings_in(body))
    ids = {body: id_of(body) for body in bodies}
    query = "SELECT id FROM happening WHERE id IN (SELECT value FROM json_each(?))"
    known = {id for (id,) in db.execute(query, (msgspec.json.encode([*ids.values()]).decode(),))}
    return [body for body, id in ids.items() if id not in known]


def happenings_in(request: bytes) -> list[Raw]:
    """The happenings of a quarantined request; none where its bytes are damaged."""
    try:
        return msgspec.json.decode(request, type=HappeningsOnly).happenings
    except msgspec.DecodeError:
        return []


def quarantined_from(db: sqlite3.Connection, name: str) -> list[bytes]:
    """`quarantined` for the device with this name or id. Raises Refused when there is none."""
    return quarantined(db, device_named(db, name).id)


def devices_with_quarantined(db: sqlite3.Connection) -> list[tuple[Device, int]]:
    """Every device, the first paired first, with the number of its quarantined happenings."""
    return [(device, len(quarantined(db, device.id))) for device in all_devices(db)]


def id_of(body: bytes) -> str:
    """A happening's id; "" when it has none."""
    try:
        return msgspec.json.decode(body, type=IdOnly).id
    except msgspec.DecodeError:
        return ""


def accept_quarantined(db: sqlite3.Connection, name: str) -> int:
    """Append to the log what is quarantined from the device with this name or id; gives how many were new.

    Raises Refused when there is no such device, nothing is quarantined, or it does not continue the device's numbers.
    """
    device = device_named(db, name).id
    bodies = quarantined(db, device)
    if not bodies:
        raise Refused("Nothing of this device is kept aside.", "See what is with benchbell devices.")
    before = newest_position(db)
    try:
        keep(db, device, with_envelopes(bodies))
    except Misnumbered as error:
        raise Refused(error.what, "Pair the device again: it then sends what is missing here.") from error
    taken = newest_position(db) - before
    db.execute("DELETE FROM quarantine WHERE device = ?", (device,))
    return taken

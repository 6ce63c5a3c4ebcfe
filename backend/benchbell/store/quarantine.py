"""The SQL of the quarantine: what a revoked device sent, unchanged, until a person accepts it.

A lost phone may come back with work on it that was never synced; a stolen one may send anything. When the device is
paired again, it sends that work again by itself. What the log has by either way is no longer listed here.
"""

import hashlib
import sqlite3
from itertools import chain

import msgspec
from msgspec import Raw, Struct

from benchbell.bench.encoding import Envelope
from benchbell.findings import Refused, counted
from benchbell.store.devices import all_devices, device_named
from benchbell.store.envelopes import with_envelopes
from benchbell.store.errors import Misnumbered
from benchbell.store.happenings import keep
from benchbell.store.record_types import Body, Device, Sent

MOST_BYTES = 20_000_000
MOST_ENTRIES = 5000
"""Of one device: ten full batches. What does not fit stays on the phone."""


LOOK_OR_DISCARD = "Look at them with benchbell devices review, or delete them with benchbell devices discard."


class HappeningsOnly(Struct, frozen=True):
    """A sync request of which only the happenings are decoded."""

    happenings: list[Raw] = []


class IdOnly(Struct, frozen=True):
    """A happening of which only the id is decoded."""

    id: str = ""


def keep_in_quarantine(db: sqlite3.Connection, device: str, request: bytes, now_ms: int) -> bool:
    """Keep a sync request's body, once however often it comes; false when the device has no room left."""
    entries = len(entries_of(request))
    query = "SELECT coalesce(sum(length(body)), 0), coalesce(sum(entries), 0) FROM quarantine WHERE device = ?"
    kept_bytes, kept_entries = db.execute(query, (device,)).fetchone()
    if kept_bytes + len(request) > MOST_BYTES or kept_entries + entries > MOST_ENTRIES:
        return False
    db.execute(
        "INSERT OR IGNORE INTO quarantine (device, received_ms, sha256, entries, body) VALUES (?, ?, ?, ?, ?)",
        (device, now_ms, hashlib.sha256(request).digest(), entries, request),
    )
    return True


def entries_of(request: bytes) -> list[bytes]:
    """The happenings in a sync request's body, readable or not; none where the body is damaged."""
    try:
        return [bytes(raw) for raw in msgspec.json.decode(request, type=HappeningsOnly).happenings]
    except msgspec.DecodeError:
        return []


def quarantined(db: sqlite3.Connection, device: str) -> list[bytes]:
    """The device's quarantined happenings that the log does not have, each once, in the order they came."""
    requests = db.execute("SELECT body FROM quarantine WHERE device = ? ORDER BY id", (device,))
    ids = {entry: id_of(entry) for (body,) in requests for entry in entries_of(body)}
    query = "SELECT id FROM happening WHERE id IN (SELECT value FROM json_each(?))"
    known = {id for (id,) in db.execute(query, (msgspec.json.encode([*ids.values()]).decode(),))}
    return [body for body, id in ids.items() if id not in known]


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

    Each entry is judged by itself, by number: one that cannot be read, or does not continue the device's numbers,
    stays in quarantine. Raises Refused when there is no such device, nothing is quarantined, or nothing can be taken.
    """
    device = device_named(db, name)
    bodies = quarantined(db, device.id)
    if not bodies:
        raise Refused("Nothing of this device is kept aside.", "See what is with benchbell devices.")
    entries = sorted(chain.from_iterable(map(entry_in, bodies)), key=lambda entry: entry[0].n)
    outcomes = [refusal_of(db, device.id, entry) for entry in entries]
    if None not in outcomes:
        raise nothing_taken(device, len(bodies), outcomes[0] if outcomes else None)
    left = set(quarantined(db, device.id))
    requests = db.execute("SELECT id, body FROM quarantine WHERE device = ?", (device.id,)).fetchall()
    done = [(id,) for id, body in requests if left.isdisjoint(entries_of(body))]
    db.executemany("DELETE FROM quarantine WHERE id = ?", done)
    return outcomes.count(None)


def entry_in(body: bytes) -> Sent:
    """The happening with its envelope, as the only one in a list; none when its envelope is not allowed."""
    try:
        return with_envelopes([body])
    except Refused:
        return []


def refusal_of(db: sqlite3.Connection, device: str, entry: tuple[Envelope, Body]) -> Misnumbered | None:
    """Append one entry to the log; gives why it could not be, or None."""
    try:
        keep(db, device, [entry])
    except Misnumbered as error:
        return error
    return None


def nothing_taken(device: Device, count: int, first: Misnumbered | None) -> Refused:
    """Why none of a device's `count` entries could be taken: `first` is about the first that could be read."""
    if first is None:
        entries = counted(count, "entry", "entries")
        return Refused(f"None of {entries} of {device.name} can be read as a happening.", LOOK_OR_DISCARD)
    return Refused(first.what, "Pair the device again: it then sends what is missing here.")


def discard_quarantined(db: sqlite3.Connection, name: str) -> int:
    """Delete what is quarantined from the device with this name or id; gives how many happenings that were.

    Raises Refused when there is no such device.
    """
    device = device_named(db, name).id
    discarded = len(quarantined(db, device))
    db.execute("DELETE FROM quarantine WHERE device = ?", (device,))
    return discarded

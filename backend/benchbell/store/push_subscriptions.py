"""The SQL of push subscriptions, and of which rings were delivered to whom."""

import sqlite3
from collections.abc import Iterable

from benchbell.bench.happenings import SERVER
from benchbell.store.record_types import RingKey, Subscription

KEPT_MS = 60 * 24 * 60 * 60_000
"""How long a delivery is kept when its ring is over. Longer than any cure."""

IN_USE = "NOT EXISTS (SELECT 1 FROM device WHERE id = {table}.device AND revoked_ms IS NOT NULL)"
"""Condition on a table's rows: the device is not revoked."""


def keep_subscription(db: sqlite3.Connection, new: Subscription) -> None:
    """Replace the device's subscription; `since_ms` stays that of its first.

    One browser has one endpoint: when a phone is paired again under another id, the old id's row goes.
    """
    db.execute("DELETE FROM push_subscription WHERE endpoint = ? AND device <> ?", (new.endpoint, new.device))
    db.execute(
        """INSERT INTO push_subscription (device, endpoint, p256dh, auth, since_ms) VALUES (?, ?, ?, ?, ?)
        ON CONFLICT (device) DO UPDATE SET endpoint = excluded.endpoint, p256dh = excluded.p256dh,
        auth = excluded.auth, trouble = ''""",
        (new.device, new.endpoint, new.p256dh, new.auth, new.since_ms),
    )


def drop_subscription(db: sqlite3.Connection, device: str, endpoint: str | None = None) -> None:
    """Delete the device's subscription; when an endpoint is given, only if it still has that one."""
    query = "DELETE FROM push_subscription WHERE device = ?1 AND endpoint = coalesce(?2, endpoint)"
    db.execute(query, (device, endpoint))


def subscriptions(db: sqlite3.Connection) -> list[Subscription]:
    """The subscriptions of all devices that are not revoked, by device."""
    query = f"""SELECT device, endpoint, p256dh, auth, since_ms, good_ms, trouble FROM push_subscription
        WHERE {IN_USE.format(table="push_subscription")} ORDER BY device"""
    return [Subscription(*row) for row in db.execute(query)]


def note_delivered(db: sqlite3.Connection, device: str, keys: Iterable[RingKey], now_ms: int) -> None:
    """These rings reached the device; without any, its push service accepted a test."""
    db.executemany(
        "INSERT OR IGNORE INTO delivered (device, build, operation, ring, delivered_ms) VALUES (?, ?, ?, ?, ?)",
        [(device, *key, now_ms) for key in keys],
    )
    if device != SERVER:
        db.execute("UPDATE push_subscription SET good_ms = ?, trouble = '' WHERE device = ?", (now_ms, device))


def note_not_delivered(db: sqlite3.Connection, device: str, trouble: str) -> None:
    """The push service refused a push, or could not be reached."""
    db.execute("UPDATE push_subscription SET trouble = ? WHERE device = ?", (trouble, device))


def delivered(db: sqlite3.Connection) -> dict[str, set[RingKey]]:
    """By device, the rings that reached it."""
    found: dict[str, set[RingKey]] = {}
    for device, build, operation, ring in db.execute("SELECT device, build, operation, ring FROM delivered"):
        found.setdefault(device, set()).add((build, operation, ring))
    return found


def forget_delivered(db: sqlite3.Connection, ringing: Iterable[RingKey], now_ms: int) -> None:
    """Delete deliveries older than KEPT_MS, except of rings that still ring."""
    query = "SELECT device, build, operation, ring FROM delivered WHERE delivered_ms < ?"
    old = db.execute(query, (now_ms - KEPT_MS,)).fetchall()
    still = set(ringing)
    over = [row for row in old if tuple(row[1:]) not in still]
    db.executemany("DELETE FROM delivered WHERE device = ? AND build = ? AND operation = ? AND ring = ?", over)

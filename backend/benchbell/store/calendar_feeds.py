"""The SQL of calendar feeds, and of the entries that they handed out."""

import sqlite3
from collections.abc import Iterable, Mapping

from benchbell.store.devices import TOKEN_BYTES, hashed
from benchbell.store.push_subscriptions import IN_USE
from benchbell.store.record_types import Feed, RandomBytes


def new_feed(db: sqlite3.Connection, device: str, now_ms: int, random_bytes: RandomBytes) -> str:
    """A new secret for the device's feed; the last one becomes void."""
    token = random_bytes(TOKEN_BYTES).hex()
    db.execute(
        "INSERT OR REPLACE INTO calendar_feed (device, token, since_ms) VALUES (?, ?, ?)",
        (device, hashed(token), now_ms),
    )
    return token


def drop_feed(db: sqlite3.Connection, device: str) -> None:
    """Make the device's feed void."""
    db.execute("DELETE FROM calendar_feed WHERE device = ?", (device,))


def feed_of(db: sqlite3.Connection, device: str) -> Feed | None:
    """The device's feed; None when it has none."""
    row = db.execute("SELECT device, since_ms, fetched_ms FROM calendar_feed WHERE device = ?", (device,)).fetchone()
    return None if row is None else Feed(*row)


def feed_with(db: sqlite3.Connection, token: str) -> Feed | None:
    """The feed with this secret; None when it is void or its device is revoked."""
    query = f"""SELECT device, since_ms, fetched_ms FROM calendar_feed
        WHERE token = ? AND {IN_USE.format(table="calendar_feed")}"""
    row = db.execute(query, (hashed(token),)).fetchone()
    return None if row is None else Feed(*row)


def note_feed_fetched(db: sqlite3.Connection, device: str, now_ms: int) -> None:
    """A calendar fetched the device's feed."""
    db.execute("UPDATE calendar_feed SET fetched_ms = ? WHERE device = ?", (now_ms, device))


def calendar_entries(db: sqlite3.Connection) -> dict[str, bytes]:
    """By UID, each entry as it was kept."""
    return dict(db.execute("SELECT uid, body FROM calendar_entry"))


def keep_calendar_entries(db: sqlite3.Connection, changed: Mapping[str, bytes], outdated: Iterable[str]) -> None:
    """Write the changed entries, by UID, and delete the outdated ones."""
    db.executemany("INSERT OR REPLACE INTO calendar_entry (uid, body) VALUES (?, ?)", list(changed.items()))
    db.executemany("DELETE FROM calendar_entry WHERE uid = ?", [(uid,) for uid in outdated])

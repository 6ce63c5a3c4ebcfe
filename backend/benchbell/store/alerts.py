"""What the server's alarms must not forget: where to push, who was told what, feeds, calendar entries."""

import sqlite3
from collections.abc import Iterable, Mapping

from msgspec import Struct

from benchbell.bench.happenings import SERVER
from benchbell.durations import DAY_MS
from benchbell.store.devices import TOKEN_BYTES, RandomBytes, hashed

TOLD_FOR_MS = 60 * DAY_MS
"""How long it is remembered who was told what, where the ring may not be heard yet. Longer than any cure."""

WELCOME = "NOT EXISTS (SELECT 1 FROM device WHERE id = {table}.device AND revoked_ms IS NOT NULL)"


class Subscription(Struct, frozen=True):
    """Where and how a device can be pushed to.

    p256dh: its public key, 65 bytes; auth: its secret, 16 bytes. since_ms: rings due before it are not for it.
    good_ms: when a push was last taken, None for never. trouble: why the last one was not, "" when it was.
    """

    device: str
    endpoint: str
    p256dh: bytes
    auth: bytes
    since_ms: int
    good_ms: int | None = None
    trouble: str = ""


class Feed(Struct, frozen=True):
    """A device's calendar feed. fetched_ms: when a calendar last asked for it, None for never."""

    device: str
    since_ms: int
    fetched_ms: int | None


Key = tuple[str, str, str]
"""A ring: its build, its operation, its name."""


def keep_subscription(db: sqlite3.Connection, new: Subscription) -> None:
    """Take a device's subscription in place of its last, keeping since when it has one.

    One browser is one subscription: a phone that was paired anew takes its own with it.
    """
    db.execute("DELETE FROM subscription WHERE endpoint = ? AND device <> ?", (new.endpoint, new.device))
    db.execute(
        """INSERT INTO subscription (device, endpoint, p256dh, auth, since_ms) VALUES (?, ?, ?, ?, ?)
        ON CONFLICT (device) DO UPDATE SET endpoint = excluded.endpoint, p256dh = excluded.p256dh,
        auth = excluded.auth, trouble = ''""",
        (new.device, new.endpoint, new.p256dh, new.auth, new.since_ms),
    )


def drop_subscription(db: sqlite3.Connection, device: str, endpoint: str | None = None) -> None:
    """Forget it; only where it is still this one, when an endpoint is given."""
    db.execute("DELETE FROM subscription WHERE device = ?1 AND endpoint = coalesce(?2, endpoint)", (device, endpoint))


def subscriptions(db: sqlite3.Connection) -> list[Subscription]:
    """Those of all devices that are welcome."""
    query = f"SELECT device, endpoint, p256dh, auth, since_ms, good_ms, trouble FROM subscription WHERE {WELCOME}"
    return [Subscription(*row) for row in db.execute(query.format(table="subscription") + " ORDER BY device")]


def note_told(db: sqlite3.Connection, device: str, keys: Iterable[Key], now_ms: int) -> None:
    """The device was told of these rings."""
    rows = [(device, *key, now_ms) for key in keys]
    db.executemany("INSERT OR IGNORE INTO told (device, build, operation, ring, told_ms) VALUES (?, ?, ?, ?, ?)", rows)
    if device != SERVER:
        db.execute("UPDATE subscription SET good_ms = ?, trouble = '' WHERE device = ?", (now_ms, device))


def note_trouble(db: sqlite3.Connection, device: str, trouble: str) -> None:
    """A push was not taken."""
    db.execute("UPDATE subscription SET trouble = ? WHERE device = ?", (trouble, device))


def told(db: sqlite3.Connection) -> dict[str, set[Key]]:
    """By device, the rings it was told of."""
    found: dict[str, set[Key]] = {}
    for device, *key in db.execute("SELECT device, build, operation, ring FROM told"):
        found.setdefault(device, set()).add((key[0], key[1], key[2]))
    return found


def forget_told(db: sqlite3.Connection, ringing: Iterable[Key], now_ms: int) -> None:
    """Forget what was told long ago, unless it still rings."""
    old = db.execute(
        "SELECT device, build, operation, ring FROM told WHERE told_ms < ?", (now_ms - TOLD_FOR_MS,)
    ).fetchall()
    still = set(ringing)
    gone = [row for row in old if tuple(row[1:]) not in still]
    db.executemany("DELETE FROM told WHERE device = ? AND build = ? AND operation = ? AND ring = ?", gone)


def new_feed(db: sqlite3.Connection, device: str, now_ms: int, random_bytes: RandomBytes) -> str:
    """A new secret for a device's feed; the last one is void from now on."""
    token = random_bytes(TOKEN_BYTES).hex()
    db.execute(
        "INSERT OR REPLACE INTO feed (device, token, since_ms) VALUES (?, ?, ?)", (device, hashed(token), now_ms)
    )
    return token


def drop_feed(db: sqlite3.Connection, device: str) -> None:
    """The device's feed is void."""
    db.execute("DELETE FROM feed WHERE device = ?", (device,))


def feed_of(db: sqlite3.Connection, device: str) -> Feed | None:
    """A device's feed."""
    row = db.execute("SELECT device, since_ms, fetched_ms FROM feed WHERE device = ?", (device,)).fetchone()
    return None if row is None else Feed(*row)


def feed_with(db: sqlite3.Connection, token: str) -> Feed | None:
    """Whose feed this secret opens; None when it is void or its device is not welcome any more."""
    query = f"SELECT device, since_ms, fetched_ms FROM feed WHERE token = ? AND {WELCOME.format(table='feed')}"
    row = db.execute(query, (hashed(token),)).fetchone()
    return None if row is None else Feed(*row)


def note_fetched(db: sqlite3.Connection, device: str, now_ms: int) -> None:
    """A calendar asked for the device's feed."""
    db.execute("UPDATE feed SET fetched_ms = ? WHERE device = ?", (now_ms, device))


def entries(db: sqlite3.Connection) -> dict[str, bytes]:
    """By UID, each calendar entry as kept."""
    return dict(db.execute("SELECT uid, body FROM entry"))


def keep_entries(db: sqlite3.Connection, changed: Mapping[str, bytes], outdated: Iterable[str]) -> None:
    """Write what changed, and forget what is out of date."""
    db.executemany("INSERT OR REPLACE INTO entry (uid, body) VALUES (?, ?)", list(changed.items()))
    db.executemany("DELETE FROM entry WHERE uid = ?", [(uid,) for uid in outdated])


def builds_known(db: sqlite3.Connection) -> list[str]:
    """Ids of all builds that anything was recorded of."""
    return [row[0] for row in db.execute("SELECT DISTINCT build FROM happening WHERE build <> ''")]

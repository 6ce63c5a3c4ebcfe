"""Recognises devices by their tokens, and limits how often each may ask."""

from typing import Any

from litestar.connection import ASGIConnection

from benchbell.settings import Settings
from benchbell.store.devices import NOTE_SEEN_MS
from benchbell.store.records import Records
from benchbell.web.errors import NotPaired, Revoked
from benchbell.web.limits import Limits

REVOKED = "To go on, pair it anew; what waits on it stays there, and is kept for review when it comes."

COOKIE = "__Host-benchbell"
"""The prefix binds it to this very server and to https (RFC 6265bis, section 4.1.3.2)."""

Connection = ASGIConnection[Any, Any, Any, Any]


class Doorkeeper:
    """Knows the devices by their tokens, and how often each may ask."""

    def __init__(self, records: Records, settings: Settings) -> None:
        self.records = records
        self.settings = settings
        self.known = Limits(burst=120, each_second=20)
        self.strangers = Limits(burst=30, each_second=1)

    async def admit(self, connection: Connection, kept_aside: bool) -> None:
        """Put the device into the connection's state. kept_aside: a revoked one may still hand in its work.

        Raises NotPaired, Revoked, TooMany.
        """
        now = self.settings.clock()
        token = token_in(connection)
        device = await self.records.device_with_token(token) if token else None
        if device is None:
            self.strangers.ask(address_of(connection), now)
            raise NotPaired("This device is not paired.", "Pair it with a code from the server or a paired phone.")
        self.known.ask(device.id, now)
        if device.revoked_ms is not None and not kept_aside:
            raise Revoked(f"{device.name} was revoked.", REVOKED)
        connection.state["device"] = device.id
        connection.state["asks"] = device
        if now - device.seen_ms >= NOTE_SEEN_MS:
            await self.records.note_seen(device.id, now)
            connection.state["renew"] = token if COOKIE in connection.cookies else ""


def token_in(connection: Connection) -> str:
    """The token: from the Authorization header, else from the cookie; "" when there is none."""
    scheme, _, token = connection.headers.get("authorization", "").partition(" ")
    return token.strip() if scheme.lower() == "bearer" else connection.cookies.get(COOKIE, "")


def address_of(connection: Connection) -> str:
    """Where the request comes from; a network of IPv6 addresses counts as one asker."""
    host = connection.client.host if connection.client else ""
    return ":".join(host.split(":")[:4]) if host.count(":") > 1 else host

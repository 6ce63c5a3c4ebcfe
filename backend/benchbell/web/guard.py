"""Who may ask: this very site, and a device that is known.

`benchbell serve --local` has no pairing, so there a request must be addressed to this machine by a loopback
name: a foreign name that was made to point here (DNS rebinding) is refused. Everywhere a request that another
site's page makes is refused by its Origin.
"""

import re
from functools import partial
from typing import Any
from urllib.parse import urlsplit

from litestar import Request
from litestar.connection import ASGIConnection
from litestar.handlers.base import BaseRouteHandler

from benchbell.settings import Settings
from benchbell.store.database import Database
from benchbell.store.devices import NOTE_SEEN_MS, by_token, note_seen
from benchbell.web.errors import ForeignOrigin, NotPaired, Revoked
from benchbell.web.limits import Limits

REVOKED = "To go on, pair it anew; what waits on it stays there, and is kept for review when it comes."

COOKIE = "__Host-benchbell"
"""The prefix binds it to this very server and to https (RFC 6265bis, section 4.1.3.2)."""

LOOPBACK = {"localhost", "127.0.0.1", "::1"}
DEVICE = re.compile(r"[0-9a-f]{16}")

Connection = ASGIConnection[Any, Any, Any, Any]


class Doorkeeper:
    """Knows the devices by their tokens, and how often each may ask."""

    def __init__(self, database: Database, settings: Settings) -> None:
        self.database = database
        self.settings = settings
        self.known = Limits(burst=120, each_second=20)
        self.strangers = Limits(burst=30, each_second=1)

    async def admit(self, connection: Connection, kept_aside: bool) -> None:
        """Put the device into the connection's state. kept_aside: a revoked one may still hand in its work.

        Raises NotPaired, Revoked, TooMany.
        """
        now = self.settings.clock()
        token = token_in(connection)
        device = await self.database.read(partial(by_token, token=token)) if token else None
        if device is None:
            self.strangers.ask(address_of(connection), now)
            raise NotPaired("This device is not paired.", "Pair it with a code from the server or a paired phone.")
        self.known.ask(device.id, now)
        if device.revoked_ms is not None and not kept_aside:
            raise Revoked(f"{device.name} was revoked.", REVOKED)
        connection.state["device"] = device.id
        connection.state["asks"] = device
        if now - device.seen_ms >= NOTE_SEEN_MS:
            await self.database.write(partial(note_seen, device=device.id, now_ms=now))
            connection.state["renew"] = token if COOKIE in connection.cookies else ""


async def guard(connection: Connection, handler: BaseRouteHandler) -> None:
    """Let the request through, with its device in the connection's state, or raise Refused."""
    settings = connection.app.state.settings
    check_origin(connection, settings.local)
    if settings.local:
        connection.state["device"] = local_device(connection)
    elif not handler.opt.get("open"):
        await connection.app.state.doorkeeper.admit(connection, bool(handler.opt.get("kept_aside")))


def check_origin(connection: Connection, local: bool) -> None:
    """Raises ForeignOrigin."""
    host = connection.headers.get("host", "")
    origin = connection.headers.get("origin")
    if local and name_in(f"//{host}") not in LOOPBACK:
        raise ForeignOrigin(f"{host!r:.80} is not this machine.", "Open http://localhost with the port of this server.")
    if origin is not None and origin.partition("://")[2] != host:
        raise ForeignOrigin(f"The request comes from {origin!r:.80}, not from {host!r:.80}.", "Open Benchbell itself.")


def name_in(address: str) -> str:
    """The host's name in an address; "" when it is none."""
    try:
        return urlsplit(address).hostname or ""
    except ValueError:
        return ""


def token_in(connection: Connection) -> str:
    """The token: from the Authorization header, else from the cookie; "" when there is none."""
    scheme, _, token = connection.headers.get("authorization", "").partition(" ")
    return token.strip() if scheme.lower() == "bearer" else connection.cookies.get(COOKIE, "")


def address_of(connection: Connection) -> str:
    """Where the request comes from; a network of IPv6 addresses counts as one asker."""
    host = connection.client.host if connection.client else ""
    return ":".join(host.split(":")[:4]) if host.count(":") > 1 else host


def local_device(connection: Connection) -> str:
    """The name that the page made up for itself; "" when it gives none."""
    device = connection.headers.get("device", "")
    if device and (not DEVICE.fullmatch(device) or device == "0" * 16):
        raise NotPaired("The header Device is not 16 lower-case hex digits.", "Reload the page.")
    return device


def device_of(request: Request[Any, Any, Any]) -> str:
    """The device that asks."""
    device: str = request.state.get("device", "")
    return device

"""Who may ask: this very site, and a device that is known.

`benchbell serve --local` has no pairing, so there a request must be addressed to this machine by a loopback
name: a foreign name that was made to point here (DNS rebinding) is refused. Everywhere a request that another
site's page makes is refused by its Origin.
"""

import re
from typing import Any
from urllib.parse import urlsplit

from litestar import Request
from litestar.handlers.base import BaseRouteHandler

from benchbell.web.doorkeeper import Connection
from benchbell.web.errors import ForeignOrigin, NotPaired
from benchbell.web.runtime import runtime_of

LOOPBACK = {"localhost", "127.0.0.1", "::1"}
DEVICE = re.compile(r"[0-9a-f]{16}")


async def guard(connection: Connection, handler: BaseRouteHandler) -> None:
    """Let the request through, with its device in the connection's state, or raise Refused."""
    shop = runtime_of(connection.app.state)
    check_origin(connection, shop.settings.local)
    if shop.settings.local:
        connection.state["device"] = local_device(connection)
    elif not handler.opt.get("open"):
        await shop.doorkeeper.admit(connection, bool(handler.opt.get("kept_aside")))


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

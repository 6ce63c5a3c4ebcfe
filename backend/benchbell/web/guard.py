"""Who may ask: this very site, and a device that is known.

`benchbell serve --local` has no pairing, so there a request must be addressed to this machine by a loopback
name: a foreign name that was made to point here (DNS rebinding) is refused. Everywhere a request that another
site's page makes is refused by its Origin.
"""

import re
from typing import Any
from urllib.parse import urlsplit

from litestar import Request
from litestar.connection import ASGIConnection
from litestar.handlers.base import BaseRouteHandler

from benchbell.web.errors import ForeignOrigin, NotPaired

LOOPBACK = {"localhost", "127.0.0.1", "::1"}
DEVICE = re.compile(r"[0-9a-f]{16}")

Connection = ASGIConnection[Any, Any, Any, Any]


async def guard(connection: Connection, handler: BaseRouteHandler) -> None:
    """Let the request through, with its device in the connection's state, or raise Refused."""
    settings = connection.app.state.settings
    check_origin(connection, settings.local)
    if handler.opt.get("open"):
        return
    if settings.local:
        connection.state["device"] = local_device(connection)


def check_origin(connection: Connection, local: bool) -> None:
    """Raises ForeignOrigin."""
    host = connection.headers.get("host", "")
    origin = connection.headers.get("origin")
    if local and urlsplit(f"//{host}").hostname not in LOOPBACK:
        raise ForeignOrigin(f"{host!r:.80} is not this machine.", "Open http://localhost with the port of this server.")
    if origin is not None and urlsplit(origin).netloc != host:
        raise ForeignOrigin(f"The request comes from {origin!r:.80}, not from {host!r:.80}.", "Open Benchbell itself.")


def local_device(connection: Connection) -> str:
    """The name that the page made up for itself; the server's own name is taken."""
    device = connection.headers.get("device", "")
    if not device:
        return ""
    if not DEVICE.fullmatch(device) or device == "0" * 16:
        raise NotPaired("The header Device is not 16 lower-case hex digits.", "Reload the page.")
    return device


def device_of(request: Request[Any, Any, Any]) -> str:
    """The device that asks."""
    device: str = request.state.get("device", "")
    return device

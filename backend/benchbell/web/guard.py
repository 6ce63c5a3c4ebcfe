"""Access checks before every route: the request must come from this site and from a known device.

`benchbell serve --local` has no pairing, so there the Host header must be a loopback name: a foreign name that points
to this machine (DNS rebinding) is refused. A request made by another site's page is refused by its Origin header. A
site is scheme, host and port (RFC 6454); the shop's is https, also where a proxy does that.
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
    """Put the device into the connection's state.

    Raises ForeignOrigin, NotPaired, Revoked, TooMany, StoreError.
    """
    shop = runtime_of(connection.app.state)
    check_origin(connection, shop.settings.local)
    if shop.settings.local:
        connection.state["device"] = local_device(connection)
    elif not handler.opt.get("open"):
        await shop.doorkeeper.admit(connection, bool(handler.opt.get("for_revoked")))


def check_origin(connection: Connection, local: bool) -> None:
    """Raises ForeignOrigin when the Host or Origin header is not this server's. local: for this machine only."""
    host = connection.headers.get("host", "")
    origin = connection.headers.get("origin")
    if local and name_in(f"//{host}") not in LOOPBACK:
        raise ForeignOrigin(f"{host!r:.80} is not this machine.", "Open http://localhost with the port of this server.")
    own = f"{'http' if local else 'https'}://{host}"
    if origin is not None and origin.lower() != own.lower():
        raise ForeignOrigin(f"The request comes from {origin!r:.80}, not from {own!r:.80}.", "Open Benchbell itself.")
    check_fetch_site(connection)


def check_fetch_site(connection: Connection) -> None:
    """Raises ForeignOrigin when the browser says that another site's page asks, other than by a link to follow.

    Some requests, such as for an image, have no Origin (W3C Fetch Metadata Request Headers, section 2).
    """
    site = connection.headers.get("sec-fetch-site", "none")
    is_link = connection.headers.get("sec-fetch-mode") == "navigate" and connection.scope.get("method") == "GET"
    if site not in ("none", "same-origin") and not is_link:
        raise ForeignOrigin(f"Another site's page asks for this ({site!r:.40}).", "Open Benchbell itself.")


def name_in(address: str) -> str:
    """The host name in an address; "" when the address is invalid."""
    try:
        return urlsplit(address).hostname or ""
    except ValueError:
        return ""


def local_device(connection: Connection) -> str:
    """The device id that the page chose itself, from the header Device; "" for none. Raises NotPaired if invalid."""
    device = connection.headers.get("device", "")
    if device and (not DEVICE.fullmatch(device) or device == "0" * 16):
        raise NotPaired("The header Device is not 16 lower-case hex digits.", "Reload the page.")
    return device


def device_of(request: Request[Any, Any, Any]) -> str:
    """The asking device's id, 16 hex digits; "" when it gives none."""
    device: str = request.state.get("device", "")
    return device

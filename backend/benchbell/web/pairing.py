"""How a device comes to be known: a one-time code, shown where only the owner sees it, against a token.

The terminal (`benchbell serve`, `benchbell pair`) or a paired device's Shop screen shows the code as a square
and in letters. A device that sends it gets a token in a cookie no script can read. An installed page that
shares no cookies with the browser pairs once more inside itself.
"""

from typing import Any

import structlog
from litestar import Request, Response, get, post
from litestar.datastructures import Cookie, State
from litestar.di import NamedDependency as Given
from litestar.params import FromPath, RawBody

from benchbell.findings import Refused
from benchbell.labels.qr import best_square
from benchbell.store.devices import CODE_MS, MOST_WRONG
from benchbell.store.record_types import Device, Paired
from benchbell.store.records import Records
from benchbell.web.body import read, taking
from benchbell.web.doorkeeper import COOKIE, address_of
from benchbell.web.errors import PROBLEMS, WrongCode
from benchbell.web.messages import DeviceLine, Devices, PairingCode, PairRequest, ThisDevice
from benchbell.web.runtime import ShopRuntime

log = structlog.get_logger()

COOKIE_SECONDS = 400 * 24 * 3600
"""As long as browsers keep any cookie (RFC 6265bis, section 5.5); renewed with every day of use."""

AGAIN = "Show a new one: on the server with benchbell pair, or on a paired phone's Shop screen."


@post(
    "/pair",
    status_code=200,
    request_max_body_size=1000,
    responses=PROBLEMS,
    operation_class=taking(PairRequest),
    opt={"open": True},
    summary="Spend a one-time code on a token, which comes as a cookie",
)
async def pair_device(
    body: RawBody, request: Request[Any, Any, State], shop: Given[ShopRuntime]
) -> Response[ThisDevice]:
    """Raises WrongCode, and TooMany when codes are tried too fast."""
    settings = shop.settings
    if settings.local:
        raise Refused("This server is for this machine alone.", "Open the page; nothing needs pairing.")
    wanted = read(body, PairRequest)
    now = settings.clock()
    if shop.code_throttle.ask(address_of(request), now) > MOST_WRONG:
        await shop.records.void_pairing_codes()
    paired = await shop.records.pair(wanted.code, wanted.name, now, settings.random_bytes)
    if paired is None:
        log.warning("wrong pairing code", address=address_of(request))
        raise WrongCode("This code is wrong, spent, or older than ten minutes.", AGAIN)
    shop.code_throttle.right()
    log.info("paired", device=paired.device.id, name=paired.device.name)
    return welcome(paired)


def welcome(paired: Paired) -> Response[ThisDevice]:
    """The answer that carries the token."""
    return Response(ThisDevice(paired.device.id, paired.device.name, False), cookies=[token_cookie(paired.token)])


def token_cookie(token: str) -> Cookie:
    """Sent back to this server alone, over https alone, and hidden from scripts and other sites."""
    return Cookie(
        key=COOKIE, value=token, path="/", secure=True, httponly=True, samesite="strict", max_age=COOKIE_SECONDS
    )


@get("/device", responses=PROBLEMS, summary="Who this device is")
async def this_device(request: Request[Any, Any, State], shop: Given[ShopRuntime]) -> ThisDevice:
    """Refused as every route is when it is nobody yet, or not welcome any more."""
    if shop.settings.local:
        return ThisDevice(request.state.get("device", ""), "this machine", True)
    device: Device = request.state.asks
    return ThisDevice(device.id, device.name, False)


@get("/devices", responses=PROBLEMS, summary="All devices")
async def devices(device: Given[str], shop: Given[ShopRuntime]) -> Devices:
    """Also those that are revoked, with what they sent since."""
    return await all_lines(shop.records, device)


async def all_lines(records: Records, device: str) -> Devices:
    """The list as `device` sees it."""
    return Devices(
        [
            DeviceLine(one.id, one.name, one.paired_ms, one.seen_ms, one.revoked_ms, one.id == device, quarantined)
            for one, quarantined in await records.devices_with_quarantined()
        ]
    )


@post("/devices/{id:str}/revoke", status_code=200, responses=PROBLEMS, summary="A device is not welcome any more")
async def revoke_device(id: FromPath[str], device: Given[str], shop: Given[ShopRuntime]) -> Devices:
    """What it sends from now on is kept aside for a person to judge."""
    revoked = await shop.records.revoke(id, shop.settings.clock())
    shop.listeners.disconnect(revoked.id)
    log.info("revoked", device=revoked.id, name=revoked.name, by=device)
    return await all_lines(shop.records, device)


@post("/devices/code", status_code=200, responses=PROBLEMS, summary="A code for one more device")
async def code_for_another(request: Request[Any, Any, State], shop: Given[ShopRuntime]) -> PairingCode:
    """To be shown on this device's screen, as a square and in letters."""
    now, random_bytes = shop.settings.clock(), shop.settings.random_bytes
    code = await shop.records.new_pairing_code(now, random_bytes)
    address = pairing_address(str(request.base_url), code)
    square = best_square([address], 60)
    rows = ["".join("1" if dark else "0" for dark in row) for row in square.rows]
    return PairingCode(code, now + CODE_MS, address, rows)


def pairing_address(base: str, code: str) -> str:
    """What the square holds. The code is behind "#", which no browser sends and no log keeps."""
    return f"{base.rstrip('/')}/pair#{code}"

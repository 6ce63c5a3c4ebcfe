"""Pairing: a device sends a one-time code and gets a token. Also the list of devices, and revoking one.

The terminal (`benchbell serve`, `benchbell pair`) or a paired device's Shop screen shows the code as a QR code and in
letters. The token is in a cookie that scripts cannot read. An installed page that does not share the browser's cookies
has to pair once more.
"""

import asyncio
from typing import Any

import structlog
from litestar import Request, Response, get, post
from litestar.datastructures import Cookie, State
from litestar.di import NamedDependency as Given
from litestar.params import FromPath, RawBody

from benchbell.findings import Refused
from benchbell.labels.qr import best_square
from benchbell.store.devices import CODE_MS, code_hash
from benchbell.store.record_types import Device, Paired
from benchbell.store.records import Records
from benchbell.web.body import decoded, json_body
from benchbell.web.doorkeeper import COOKIE, address_of
from benchbell.web.errors import REFUSALS, WrongCode
from benchbell.web.messages import DeviceLine, Devices, PairingCode, PairRequest, ThisDevice
from benchbell.web.runtime import ShopRuntime

log = structlog.get_logger()

COOKIE_SECONDS = 400 * 24 * 3600
"""The longest that browsers keep a cookie (RFC 6265bis, section 5.5); renewed on every day of use."""

SHOW_NEW_CODE = "Show a new one: on the server with benchbell pair, or on a paired phone's Shop screen."


@post(
    "/pair",
    status_code=200,
    request_max_body_size=1000,
    responses=REFUSALS,
    operation_class=json_body(PairRequest),
    opt={"open": True},
    summary="Exchange a one-time code for a token, which comes as a cookie",
)
async def pair_device(
    body: RawBody, request: Request[Any, Any, State], shop: Given[ShopRuntime]
) -> Response[ThisDevice]:
    """Raises WrongCode, TooMany after too many wrong codes, Refused on a local server, Unreadable, StoreError."""
    settings = shop.settings
    if settings.local:
        raise Refused("This server is for this machine only.", "Open the page; no pairing is needed.")
    wanted = decoded(body, PairRequest)
    now = settings.clock()
    open_codes = await shop.records.open_pairing_codes(now)
    address = address_of(request)
    right = shop.code_guesses.judge(code_hash(wanted.code), open_codes, address)
    paired = await shop.records.pair(wanted.code, wanted.name, now, settings.random_bytes) if right else None
    if paired is None:
        log_wrong_codes(address, shop.code_guesses.wrong_from(address))
        raise WrongCode("This code is wrong, already used, or older than ten minutes.", SHOW_NEW_CODE)
    log.info("paired", device=paired.device.id, name=paired.device.name)
    return paired_response(paired)


def log_wrong_codes(address: str, count: int) -> None:
    """Log the first wrong code of an address, then the 10th, the 100th and so on: a guesser must not fill the log."""
    if count in (1, 10, 100, 1000, 10_000):
        log.warning("wrong pairing codes", address=address, count=count)


def paired_response(paired: Paired) -> Response[ThisDevice]:
    """The response that carries the new device's token."""
    return Response(ThisDevice(paired.device.id, paired.device.name, False), cookies=[token_cookie(paired.token)])


def token_cookie(token: str) -> Cookie:
    """The token's cookie: for this host and https only, hidden from scripts and other sites."""
    return Cookie(
        key=COOKIE, value=token, path="/", secure=True, httponly=True, samesite="strict", max_age=COOKIE_SECONDS
    )


@get("/device", responses=REFUSALS, summary="The asking device")
async def this_device(request: Request[Any, Any, State], shop: Given[ShopRuntime]) -> ThisDevice:
    """The page asks this to find out whether it is paired: the guard refuses unknown and revoked devices."""
    if shop.settings.local:
        return ThisDevice(request.state.get("device", ""), "this machine", True)
    device: Device = request.state.known_device
    return ThisDevice(device.id, device.name, False)


@get("/devices", responses=REFUSALS, summary="All devices")
async def devices(device: Given[str], shop: Given[ShopRuntime]) -> Devices:
    """Revoked ones too, with how many happenings they sent since. Raises StoreError."""
    return await all_lines(shop.records, device)


async def all_lines(records: Records, device: str) -> Devices:
    """All devices, with `device` marked as the asking one. Raises StoreError."""
    return Devices(
        [
            DeviceLine(one.id, one.name, one.paired_ms, one.seen_ms, one.revoked_ms, one.id == device, quarantined)
            for one, quarantined in await records.devices_with_quarantined()
        ]
    )


@post("/devices/{id:str}/revoke", status_code=200, responses=REFUSALS, summary="Revoke a device")
async def revoke_device(id: FromPath[str], device: Given[str], shop: Given[ShopRuntime]) -> Devices:
    """What it sends from now on is quarantined for review. Raises Refused for an unknown device, StoreError."""
    revoked = await shop.records.revoke(id, shop.settings.clock())
    shop.listeners.disconnect(revoked.id)
    log.info("revoked", device=revoked.id, name=revoked.name, by=device)
    return await all_lines(shop.records, device)


@post("/devices/code", status_code=200, responses=REFUSALS, summary="A code to pair one more device")
async def code_for_another(request: Request[Any, Any, State], shop: Given[ShopRuntime]) -> PairingCode:
    """The page shows it as a QR code and in letters. Raises StoreError."""
    now, random_bytes = shop.settings.clock(), shop.settings.random_bytes
    code = await shop.records.new_pairing_code(now, random_bytes)
    address = pairing_address(str(request.base_url), code)
    square = await asyncio.to_thread(best_square, [address], 60)
    rows = ["".join("1" if dark else "0" for dark in row) for row in square.rows]
    return PairingCode(code, now + CODE_MS, address, rows)


def pairing_address(base: str, code: str) -> str:
    """The QR code's content. The pairing code is behind "#", so browsers do not send it and logs do not hold it."""
    return f"{base.rstrip('/')}/pair#{code}"

"""Running clocks as calendar entries: a private feed for each device.

PUT /alerts/calendar gives this device a private address. It becomes void when a new one is made, when it is deleted,
and when the device is revoked. Whoever has the address can read what rings when, and nothing else. A phone makes the
entry of a single clock by itself.
"""

import asyncio
import hashlib
from contextlib import suppress
from typing import Any

from litestar import Request, Response, delete, get, put
from litestar.datastructures import State
from litestar.di import NamedDependency as Given
from litestar.params import FromPath

from benchbell.alerts.calendar import calendar
from benchbell.store.errors import StoreError
from benchbell.web.alert_messages import FeedAddress
from benchbell.web.alert_routes import required
from benchbell.web.errors import REFUSALS, NotHere
from benchbell.web.runtime import ShopRuntime

CALENDAR = "text/calendar"  # litestar adds the charset


@put("/alerts/calendar", status_code=200, responses=REFUSALS, summary="Make a private calendar address for this device")
async def make_feed(device: Given[str], shop: Given[ShopRuntime]) -> FeedAddress:
    """The device's last address becomes void. Raises NotPaired, StoreError."""
    clock, random_bytes = shop.settings.clock, shop.settings.random_bytes
    token = await shop.records.new_feed(required(device), clock(), random_bytes)
    return FeedAddress(f"/calendar/{token}.ics")


@delete("/alerts/calendar", status_code=204, responses=REFUSALS, summary="Make the device's calendar address void")
async def void_feed(device: Given[str], shop: Given[ShopRuntime]) -> None:
    """Does nothing where the device had none. Raises StoreError."""
    await shop.records.drop_feed(device)


@get(
    "/calendar/{name:str}",
    responses=REFUSALS,
    media_type=CALENDAR,
    opt={"open": True},
    summary="All running clocks, for a calendar that subscribed; the address is the secret",
)
async def feed(name: FromPath[str], request: Request[Any, Any, State], shop: Given[ShopRuntime]) -> Response[bytes]:
    """As iCalendar (RFC 5545). Raises NotHere for a void or unknown address, StoreError."""
    owner = await shop.records.feed_with(name.removesuffix(".ics"))
    if owner is None:
        raise NotHere("This calendar address is void.", "Make a new one on the Shop screen.")
    with suppress(StoreError):  # a full disk must not hide a clock
        await shop.records.note_feed_fetched(owner.device, shop.settings.clock())
    await shop.clock_tracker.refresh()
    body = await asyncio.to_thread(calendar, list(shop.clock_tracker.entries.values()))
    return as_calendar(body, request.headers.get("if-none-match", ""))


def as_calendar(body: bytes, known: str) -> Response[bytes]:
    """The iCalendar stream; status 304 when its ETag is in `known`, the request's If-None-Match."""
    etag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
    headers = {"ETag": etag, "Cache-Control": "private, no-cache"}
    if etag in known:
        return Response(b"", status_code=304, headers=headers)
    return Response(body, media_type=CALENDAR, headers=headers)


CALENDAR_ROUTES = (make_feed, void_feed, feed)

"""Running clocks as a calendar: a private feed for each device, and one clock to save.

PUT /alerts/calendar gives a private address for this device, void as soon as it is asked for again, deleted, or the
device revoked. Whoever has the address can read what rings when, and nothing else. One clock alone can be saved as an
entry, for a phone that is about to lose the network.
"""

import asyncio
import hashlib
from typing import Annotated, Any

from litestar import Request, Response, delete, get, put
from litestar.datastructures import State
from litestar.di import NamedDependency as Given
from litestar.params import FromPath, PathParameter

from benchbell.alerts.calendar import calendar
from benchbell.web.alert_messages import FeedAddress
from benchbell.web.alert_routes import known
from benchbell.web.errors import PROBLEMS, NotHere
from benchbell.web.runtime import ShopRuntime

CALENDAR = "text/calendar"  # the charset is added


@put("/alerts/calendar", status_code=200, responses=PROBLEMS, summary="A private calendar address for this device")
async def make_feed(device: Given[str], shop: Given[ShopRuntime]) -> FeedAddress:
    """The last one is void from now on."""
    clock, random_bytes = shop.settings.clock, shop.settings.random_bytes
    token = await shop.records.new_feed(known(device), clock(), random_bytes)
    return FeedAddress(f"/calendar/{token}.ics")


@delete("/alerts/calendar", status_code=204, responses=PROBLEMS, summary="The device's calendar address is void")
async def void_feed(device: Given[str], shop: Given[ShopRuntime]) -> None:
    """Nothing to do where it had none."""
    await shop.records.drop_feed(device)


@get(
    "/calendar/{name:str}",
    responses=PROBLEMS,
    media_type=CALENDAR,
    opt={"open": True},
    summary="All running clocks, for a calendar that subscribed; the address is the secret",
)
async def feed(name: FromPath[str], request: Request[Any, Any, State], shop: Given[ShopRuntime]) -> Response[bytes]:
    """RFC 5545. Raises NotHere for an address that is void or never was."""
    owner = await shop.records.feed_with(name.removesuffix(".ics"))
    if owner is None:
        raise NotHere("This calendar address is void.", "Make a new one on the Shop screen.")
    await shop.records.note_feed_fetched(owner.device, shop.settings.clock())
    await shop.clock_tracker.follow()
    body = await asyncio.to_thread(calendar, list(shop.clock_tracker.entries.values()))
    return as_calendar(body, request.headers.get("if-none-match", ""))


def as_calendar(body: bytes, known: str) -> Response[bytes]:
    """The stream, or word that nothing changed since the calendar asked last."""
    etag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
    headers = {"ETag": etag, "Cache-Control": "private, no-cache"}
    if etag in known:
        return Response(b"", status_code=304, headers=headers)
    return Response(body, media_type=CALENDAR, headers=headers)


@get(
    "/builds/{build:str}/clocks/{clock:path}",
    responses=PROBLEMS,
    media_type=CALENDAR,
    summary="One running clock as a calendar entry: clocks/<operation>/<kind>.ics",
)
async def one_clock(
    build: Annotated[str, PathParameter(max_length=40)], clock: FromPath[str], shop: Given[ShopRuntime]
) -> Response[bytes]:
    """Raises NotHere when no such clock runs."""
    operation, _, kind = clock.strip("/").removesuffix(".ics").rpartition("/")
    await shop.clock_tracker.follow()
    wanted = (build, operation, kind)
    running = [
        kept
        for kept in shop.clock_tracker.entries.values()
        if not kept.cancelled and (kept.entry.build, kept.entry.operation, kept.entry.kind) == wanted
    ]
    if not running:
        raise NotHere(f"No clock {kind!r:.40} of {operation!r:.90} runs.", "Go back; it may have ended.")
    return Response(
        calendar(running), media_type=CALENDAR, headers={"Content-Disposition": f'inline; filename="{kind}.ics"'}
    )


CALENDAR_ROUTES = (make_feed, void_feed, feed, one_clock)

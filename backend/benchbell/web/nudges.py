"""Nudges: tell open pages that there is something new, never what it is. They then ask POST /sync.

The same stream tells when the server last saw to its alarms.

A stream may break at any time: the page connects again and asks for what it lacks.
"""

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import suppress

from litestar.response.sse import ServerSentEventMessage

from benchbell.bench.happenings import SERVER
from benchbell.bounded_wait import set_within
from benchbell.store.errors import StoreError
from benchbell.store.records import Records
from benchbell.web.errors import TooMany

KEEP_ALIVE_SECONDS = 15
"""Some routers drop a connection after 30 s without traffic."""

REVOKED_CHECK_SECONDS = 2
"""How often the devices that listen are looked up: `benchbell devices revoke` runs in a process of its own."""

MOST_STREAMS = 500


class Listeners:
    """Who waits for news, and the newest position that was announced to them.

    alarms_ran: gives when the server last saw to its alarms, server time in ms; None for never.
    """

    def __init__(self, position: int, alarms_ran: Callable[[], int | None]) -> None:
        self.position = position
        self.alarms_ran = alarms_ran
        self.events: dict[asyncio.Event, str] = {}
        self.ended: set[asyncio.Event] = set()

    def add(self, event: asyncio.Event, device: str) -> None:
        """Set this event whenever the position moves. device: who waits for it."""
        self.events[event] = device

    def remove(self, event: asyncio.Event) -> None:
        """Set this event no more."""
        self.events.pop(event, None)
        self.ended.discard(event)

    def announce(self, position: int) -> None:
        """Wake every listener if this position is newer than the last one announced."""
        if position > self.position:
            self.position = position
            self.wake()

    def wake(self) -> None:
        """Wake every listener."""
        for event in self.events:
            event.set()

    def disconnect(self, device: str) -> None:
        """End all streams of a device, because it was revoked."""
        for event, owner in self.events.items():
            if owner == device:
                self.ended.add(event)
                event.set()

    async def follow_revocations(self, records: Records) -> None:
        """End the streams of devices that another process revoked, until cancelled."""
        while True:
            await asyncio.sleep(REVOKED_CHECK_SECONDS)
            if set(self.events.values()) - {"", SERVER}:
                with suppress(StoreError):  # then it cannot be known; the next look may tell
                    for device in await records.all_devices():
                        if device.revoked_ms is not None:
                            self.disconnect(device.id)

    def check_room(self) -> None:
        """Raises TooMany when MOST_STREAMS listeners are there already."""
        if len(self.events) >= MOST_STREAMS:
            raise TooMany(f"{MOST_STREAMS} pages listen already.", "Close some of them.", 60)

    async def nudges(self, device: str) -> AsyncIterator[ServerSentEventMessage]:
        """The newest position, at once and whenever it moves, and when the server last saw to its alarms.

        That is told at least every KEEP_ALIVE_SECONDS.
        """
        event, newest_sent = asyncio.Event(), -1
        self.add(event, device)
        try:
            while event not in self.ended:
                if newest_sent != self.position:
                    newest_sent = self.position
                    yield nudge(newest_sent)
                    continue
                yield alarms(self.alarms_ran())
                await set_within(event, KEEP_ALIVE_SECONDS)
                event.clear()
        finally:
            self.remove(event)


def alarms(ran_ms: int | None) -> ServerSentEventMessage:
    """An event with the moment at which the server last saw to its alarms; without data for never."""
    return ServerSentEventMessage(event="alarms", data="" if ran_ms is None else str(ran_ms))


def nudge(position: int) -> ServerSentEventMessage:
    """An event with the newest position. When the stream breaks, the browser connects again after 3 s."""
    return ServerSentEventMessage(event="nudge", data=str(position), retry=3000)

"""The nudge: tells open pages that there is something new, never what. They then ask POST /sync.

A stream that breaks costs nothing: the page connects again and asks for what it lacks.
"""

import asyncio
from collections.abc import AsyncIterator

from litestar.response.sse import ServerSentEventMessage

from benchbell.bounded_wait import set_within
from benchbell.web.errors import TooMany

KEEP_ALIVE_SECONDS = 15
"""Shorter than the half minute after which some routers forget a quiet connection."""

MOST_STREAMS = 500


class Listeners:
    """Who waits for news, and the newest position that was announced to them."""

    def __init__(self, position: int) -> None:
        self.position = position
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
            for event in self.events:
                event.set()

    def disconnect(self, device: str) -> None:
        """End all streams of a device, because it was revoked."""
        for event, owner in self.events.items():
            if owner == device:
                self.ended.add(event)
                event.set()

    def check_room(self) -> None:
        """Raises TooMany when MOST_STREAMS listeners are there already."""
        if len(self.events) >= MOST_STREAMS:
            raise TooMany(f"{MOST_STREAMS} pages listen already.", "Close some of them.", 60)

    async def nudges(self, device: str) -> AsyncIterator[ServerSentEventMessage]:
        """The newest position, at once and whenever it moves; a comment every KEEP_ALIVE_SECONDS in between."""
        event = asyncio.Event()
        self.add(event, device)
        try:
            yield nudge(self.position)
            while True:
                await set_within(event, KEEP_ALIVE_SECONDS)
                if event in self.ended:
                    return
                yield nudge(self.position) if event.is_set() else KEEP_ALIVE
                event.clear()
        finally:
            self.remove(event)


KEEP_ALIVE = ServerSentEventMessage(data=None, comment="still here")


def nudge(position: int) -> ServerSentEventMessage:
    """One event. The browser reconnects after 3 s by itself when the stream breaks."""
    return ServerSentEventMessage(event="nudge", data=str(position), retry=3000)

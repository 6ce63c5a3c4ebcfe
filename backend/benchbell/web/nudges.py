"""The nudge: tells open pages that there is something new, never what. They then ask POST /sync.

A stream that breaks costs nothing: the page connects again and asks for what it lacks.
"""

import asyncio
from collections.abc import AsyncIterator

from litestar import get
from litestar.di import NamedDependency as Given
from litestar.response import ServerSentEvent
from litestar.response.sse import ServerSentEventMessage

from benchbell.bounded_wait import set_within
from benchbell.web.errors import PROBLEMS, TooMany

KEEP_ALIVE_SECONDS = 15
"""Shorter than the half minute after which some routers forget a quiet connection."""

MOST_STREAMS = 500


class Listeners:
    """Who listens, and the newest position they should know of."""

    def __init__(self, position: int) -> None:
        self.position = position
        self.bells: dict[asyncio.Event, str] = {}
        self.gone: set[asyncio.Event] = set()

    def tell(self, position: int) -> None:
        """Ring for everybody, if there is anything new."""
        if position > self.position:
            self.position = position
            for bell in self.bells:
                bell.set()

    def hang_up(self, device: str) -> None:
        """End the streams of a device that has no business here any more."""
        for bell, owner in self.bells.items():
            if owner == device:
                self.gone.add(bell)
                bell.set()

    async def nudges(self, device: str) -> AsyncIterator[ServerSentEventMessage]:
        """The newest position now and whenever it moves; a comment while nothing happens."""
        bell = asyncio.Event()
        self.bells[bell] = device
        try:
            yield nudge(self.position)
            while True:
                await set_within(bell, KEEP_ALIVE_SECONDS)
                if bell in self.gone:
                    return
                yield nudge(self.position) if bell.is_set() else QUIET
                bell.clear()
        finally:
            self.bells.pop(bell, None)
            self.gone.discard(bell)


QUIET = ServerSentEventMessage(data=None, comment="still here")


def nudge(position: int) -> ServerSentEventMessage:
    """One event. The browser reconnects after 3 s by itself when the stream breaks."""
    return ServerSentEventMessage(event="nudge", data=str(position), retry=3000)


@get("/live", responses=PROBLEMS, summary="A stream of nudges: the newest position, whenever it moves")
async def live(device: Given[str], listeners: Given[Listeners]) -> ServerSentEvent:
    """Server-sent events, HTML Living Standard, section 9.2."""
    if len(listeners.bells) >= MOST_STREAMS:
        raise TooMany(f"{MOST_STREAMS} pages listen already.", "Close some of them.", 60)
    return ServerSentEvent(listeners.nudges(device), headers={"Cache-Control": "no-store", "X-Accel-Buffering": "no"})

"""Time limits for slow clients: nobody can hold a connection by sending a request byte by byte."""

import asyncio
from typing import Any

from litestar.enums import ScopeType
from litestar.exceptions import HTTPException
from litestar.types import ASGIApp, Receive, Scope, Send
from uvicorn.protocols.http.httptools_impl import HttpToolsProtocol

HEADER_SECONDS = 15
"""From the connection, or a request's first byte, to the end of its headers."""

BODY_SECONDS = 20
"""For each further chunk of a body: even a weak signal at the far end of the shop sends one in that time."""

REQUEST_SECONDS = 180
"""For a whole body: 12 MB at about 0.5 Mbit/s."""


class TimedProtocol(HttpToolsProtocol):
    """One connection to a client, closed when a request's headers take longer than HEADER_SECONDS."""

    timer: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """A client connected."""
        super().connection_made(transport)
        self.start_timer()

    def on_message_begin(self) -> None:
        """The first byte of a request arrived."""
        super().on_message_begin()
        self.start_timer()

    def on_headers_complete(self) -> None:
        """All headers arrived."""
        self.stop_timer()
        super().on_headers_complete()

    def connection_lost(self, exc: Exception | None) -> None:
        """The connection ended."""
        self.stop_timer()
        super().connection_lost(exc)

    def start_timer(self) -> None:
        """Close the connection in HEADER_SECONDS unless the timer is stopped."""
        self.stop_timer()
        self.timer = self.loop.call_later(HEADER_SECONDS, self.transport.close)

    def stop_timer(self) -> None:
        """Let the connection stay open."""
        if self.timer is not None:
            self.timer.cancel()
            self.timer = None


def with_timeouts(app: ASGIApp) -> ASGIApp:
    """Refuse a body that arrives too slowly, with status 408."""

    async def answer(scope: Scope, receive: Receive, send: Send) -> None:
        await app(scope, limited(receive) if scope["type"] == ScopeType.HTTP else receive, send)

    return answer


def limited(receive: Receive) -> Receive:
    """`receive` with time limits on each chunk of the body and on all of it. After the body there is no limit.

    The given function raises HTTPException with status 408.
    """
    loop = asyncio.get_running_loop()
    until = loop.time() + REQUEST_SECONDS
    whole = False

    async def chunk() -> Any:
        nonlocal whole
        if whole:
            return await receive()
        try:
            async with asyncio.timeout_at(min(until, loop.time() + BODY_SECONDS)):
                message = await receive()
        except TimeoutError as error:
            raise HTTPException(status_code=408, headers={"Connection": "close"}) from error
        whole = not message.get("more_body", False)
        return message

    return chunk

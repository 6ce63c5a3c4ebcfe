"""Slow clients: none may hold a connection by sending a request byte by byte."""

import asyncio
from typing import Any

from litestar.enums import ScopeType
from litestar.exceptions import HTTPException
from litestar.types import ASGIApp, Receive, Scope, Send
from uvicorn.protocols.http.httptools_impl import HttpToolsProtocol

HEADER_SECONDS = 15
"""From the connection, or a request's first byte, to the end of its headers."""

BODY_SECONDS = 20
"""For each further piece of a body: a weak signal at the far end of the shop still sends one."""

REQUEST_SECONDS = 180
"""For a whole body: 12 MB at about half a megabit a second."""


class Patient(HttpToolsProtocol):
    """The server's side of one connection, closed when a request's headers do not come."""

    waits: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """A connection begins."""
        super().connection_made(transport)
        self.start_waiting()

    def on_message_begin(self) -> None:
        """A request's first byte."""
        super().on_message_begin()
        self.start_waiting()

    def on_headers_complete(self) -> None:
        """All headers are here."""
        self.stop_waiting()
        super().on_headers_complete()

    def connection_lost(self, exc: Exception | None) -> None:
        """The connection is over."""
        self.stop_waiting()
        super().connection_lost(exc)

    def start_waiting(self) -> None:
        """Close the connection unless headers are complete in time."""
        self.stop_waiting()
        self.waits = self.loop.call_later(HEADER_SECONDS, self.transport.close)

    def stop_waiting(self) -> None:
        """They are, or nobody cares any more."""
        if self.waits is not None:
            self.waits.cancel()
            self.waits = None


def with_timeouts(app: ASGIApp) -> ASGIApp:
    """Refuse with 408 a body that does not come on."""

    async def answer(scope: Scope, receive: Receive, send: Send) -> None:
        await app(scope, in_time(receive) if scope["type"] == ScopeType.HTTP else receive, send)

    return answer


def in_time(receive: Receive) -> Receive:
    """The same, with a limit on each piece of the body and on all of it; then it may wait for the end of a stream."""
    loop = asyncio.get_running_loop()
    until = loop.time() + REQUEST_SECONDS
    whole = False

    async def piece() -> Any:
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

    return piece

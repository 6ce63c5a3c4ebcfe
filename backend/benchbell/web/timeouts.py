"""Time limits for bodies that arrive slowly. Those for all else are in `web/protocol.py`."""

import asyncio
from typing import Any

from litestar.enums import ScopeType
from litestar.exceptions import HTTPException
from litestar.types import ASGIApp, Receive, Scope, Send

BODY_SECONDS = 20
"""For each further chunk of a body: even a weak signal at the far end of the shop sends one in that time."""

REQUEST_SECONDS = 180
"""For a whole body: 12 MB at about 0.5 Mbit/s."""


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

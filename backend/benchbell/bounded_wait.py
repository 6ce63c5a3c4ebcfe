"""Waiting for something, but not for ever."""

import asyncio
from collections.abc import Iterable


async def set_within(event: asyncio.Event, seconds: float) -> bool:
    """Whether the event is set within that time.

    Not by asyncio.wait_for, which before Python 3.12 loses a cancellation that comes in the same turn as the event:
    a loop that waits that way can then never be stopped.
    """
    try:
        async with asyncio.timeout(seconds):
            return await event.wait()
    except TimeoutError:
        return False


async def any_set_within(events: Iterable[asyncio.Event], seconds: float) -> None:
    """Wait until one of the events is set, or the time is over."""
    waiting = [asyncio.ensure_future(event.wait()) for event in events]
    try:
        await asyncio.wait(waiting, timeout=seconds, return_when=asyncio.FIRST_COMPLETED)
    finally:
        for one in waiting:
            one.cancel()

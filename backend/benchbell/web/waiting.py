"""Waiting for something, but not for ever."""

import asyncio


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

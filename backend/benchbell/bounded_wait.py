"""Waiting for events, with a time limit."""

import asyncio
from collections.abc import Iterable


async def set_within(event: asyncio.Event, seconds: float) -> bool:
    """Wait for the event, at most `seconds`; gives whether it was set.

    It does not use asyncio.wait_for, which before Python 3.12 loses a cancellation that arrives in the same loop
    iteration as the event, so that a task waiting in a loop could never be stopped.
    """
    try:
        async with asyncio.timeout(seconds):
            return await event.wait()
    except TimeoutError:
        return False


async def any_set_within(events: Iterable[asyncio.Event], seconds: float) -> None:
    """Wait until one of the events is set, at most `seconds`."""
    waiting = [asyncio.ensure_future(event.wait()) for event in events]
    try:
        await asyncio.wait(waiting, timeout=seconds, return_when=asyncio.FIRST_COMPLETED)
    finally:
        for one in waiting:
            one.cancel()

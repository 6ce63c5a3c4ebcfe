"""When the alarm loop last made a whole round: every device is told, so that each sees whether the server rings."""

import asyncio
from collections.abc import Callable

LATE_S = 30.0
"""Longer than a sleep of the loop and a usual round."""


class Heartbeat:
    """The last whole round. clock: server time in ms. resumed: called after the first round, and after a late one."""

    def __init__(self, clock: Callable[[], int], resumed: Callable[[], None] = lambda: None) -> None:
        self.clock = clock
        self.resumed = resumed
        self.beat_s: float | None = None

    def beat(self) -> None:
        """A whole round was made just now."""
        last, self.beat_s = self.beat_s, asyncio.get_running_loop().time()
        if last is None or self.beat_s - last > LATE_S:
            self.resumed()

    def last_ms(self) -> int | None:
        """When that was, in server time as the clock is now, so that a clock that was set shifts it; None for never."""
        if self.beat_s is None:
            return None
        return self.clock() - int((asyncio.get_running_loop().time() - self.beat_s) * 1000)

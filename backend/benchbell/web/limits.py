"""Rate limits: a token bucket for each client, and doubling waits after wrong pairing codes.

At most MOST_REMEMBERED clients are remembered, the oldest are dropped, so memory stays bounded.
"""

from collections import OrderedDict

from msgspec import Struct

from benchbell.web.errors import TooMany

MOST_REMEMBERED = 1000


class Bucket(Struct):
    """Requests left at the moment `at_ms`."""

    left: float
    at_ms: int


class RateLimits:
    """A token bucket for each name: `burst` requests at once, refilled at `each_second`."""

    def __init__(self, burst: float, each_second: float) -> None:
        self.burst = burst
        self.each_second = each_second
        self.buckets: OrderedDict[str, Bucket] = OrderedDict()

    def ask(self, name: str, now_ms: int) -> None:
        """Take one request from the name's bucket. Raises TooMany when it is empty."""
        bucket = self.buckets.pop(name, None) or Bucket(self.burst, now_ms)
        self.buckets[name] = bucket
        if len(self.buckets) > MOST_REMEMBERED:
            self.buckets.popitem(last=False)
        bucket.left = min(self.burst, bucket.left + max(0, now_ms - bucket.at_ms) / 1000 * self.each_second)
        bucket.at_ms = now_ms
        if bucket.left < 1:
            raise TooMany("Too many requests in a short time.", "Wait a moment; the page tries again by itself.", 2)
        bucket.left -= 1


class Tries(Struct):
    """count: wrong codes so far. next_ms: when the next may be tried."""

    count: int
    next_ms: int


class CodeThrottle:
    """After each wrong code from an address the wait doubles: 1 s, 2 s, 4 s, up to 5 minutes."""

    def __init__(self) -> None:
        self.tries: OrderedDict[str, Tries] = OrderedDict()
        self.failed = 0

    def ask(self, address: str, now_ms: int) -> int:
        """Count one try as wrong until `succeeded` is called; gives the number of wrong tries from all addresses.

        It is counted before the code is checked, so that many tries at once all count. Raises TooMany while the address
        has to wait.
        """
        tries = self.tries.pop(address, Tries(0, 0))
        self.tries[address] = tries
        if now_ms < tries.next_ms:
            seconds = -(-(tries.next_ms - now_ms) // 1000)
            raise TooMany("Too many wrong codes.", f"Wait {seconds} s, then try again.", seconds)
        tries.next_ms = now_ms + 1000 * min(300, 2 ** min(tries.count, 20))
        tries.count += 1
        self.failed += 1
        if len(self.tries) > MOST_REMEMBERED:
            self.tries.popitem(last=False)
        return self.failed

    def succeeded(self) -> None:
        """Forget all wrong tries, after a right code."""
        self.tries.clear()
        self.failed = 0

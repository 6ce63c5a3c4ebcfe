"""How often anybody may ask: a bucket of requests each that fills again, and ever longer waits after wrong codes.

Whoever asks from more addresses than are remembered only makes the oldest forgotten; memory stays bounded.
"""

from collections import OrderedDict

from msgspec import Struct

from benchbell.web.errors import TooMany

MOST_REMEMBERED = 1000


class Bucket(Struct):
    """Requests left, as of a moment in ms."""

    left: float
    at_ms: int


class Limits:
    """One bucket for each name: `burst` requests at once, then `each_second`."""

    def __init__(self, burst: float, each_second: float) -> None:
        self.burst = burst
        self.each_second = each_second
        self.buckets: OrderedDict[str, Bucket] = OrderedDict()

    def ask(self, name: str, now_ms: int) -> None:
        """Take one request from the bucket. Raises TooMany when it is empty."""
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
    """Codes tried in vain so far, and when the next may be tried, in ms."""

    count: int
    again_ms: int


class CodeThrottle:
    """After each wrong code from an address, twice the wait: 1 s, 2 s, 4 s, up to 5 minutes."""

    def __init__(self) -> None:
        self.tries: OrderedDict[str, Tries] = OrderedDict()
        self.in_vain = 0

    def ask(self, address: str, now_ms: int) -> int:
        """Count one try, as wrong until `right` is called; gives how many there were in vain, this one included.

        Counted before it is looked at, so that a thousand at once are a thousand. Raises TooMany while the
        address has to wait.
        """
        tries = self.tries.pop(address, Tries(0, 0))
        self.tries[address] = tries
        if now_ms < tries.again_ms:
            seconds = -(-(tries.again_ms - now_ms) // 1000)
            raise TooMany("Too many wrong codes.", f"Wait {seconds} s, then try again.", seconds)
        tries.again_ms = now_ms + 1000 * min(300, 2 ** min(tries.count, 20))
        tries.count += 1
        self.in_vain += 1
        if len(self.tries) > MOST_REMEMBERED:
            self.tries.popitem(last=False)
        return self.in_vain

    def right(self) -> None:
        """A right code: all is forgiven."""
        self.tries.clear()
        self.in_vain = 0

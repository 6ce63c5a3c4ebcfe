"""Rate limits: a token bucket for each client, and how many wrong pairing codes may be tried.

At most MOST_REMEMBERED clients are remembered, the oldest are dropped, so memory stays bounded.
"""

from collections import Counter, OrderedDict
from collections.abc import Collection

from msgspec import Struct

from benchbell.store.devices import CODE_MS
from benchbell.web.errors import TooMany

MOST_REMEMBERED = 1000

MOST_WRONG = 20_000
"""Wrong codes that an open one withstands: a guesser has 20,000 chances in 34 thousand million."""

MOST_WRONG_OF_ONE = 10_000
"""Of these, from one address, which so cannot use up a code for the others."""

CODE_SECONDS = CODE_MS // 1000
SHOW_FRESH_CODE = "Show a new code, on the server with benchbell pair or on a paired phone's Shop screen."


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


class CodeGuesses:
    """Wrong pairing codes, counted for each open code, so that a fresh one starts fresh.

    There is no waiting time, because a guesser on the same network would make everybody wait. The limits are high
    instead: a person types or scans a code long before a guesser has used it up.
    """

    def __init__(self) -> None:
        self.wrong: dict[str, Counter[str]] = {}

    def judge(self, tried: str, open_codes: Collection[str], address: str) -> bool:
        """Whether the code tried is an open one that may still be tried from this address; if not, that is counted.

        Codes are given by the hash under which they are stored. Raises TooMany when this address may try none of them.
        """
        self.wrong = {code: self.wrong.get(code, Counter()) for code in open_codes}
        may_try = [code for code in open_codes if self.may_try(code, address)]
        if open_codes and not may_try:
            raise TooMany("Too many wrong codes were tried.", SHOW_FRESH_CODE, CODE_SECONDS)
        if tried in may_try:
            return True
        for code in may_try:
            self.wrong[code][address] += 1
        return False

    def wrong_from(self, address: str) -> int:
        """How many wrong codes this address tried, at most, against one open code."""
        return max((wrong[address] for wrong in self.wrong.values()), default=0)

    def may_try(self, code: str, address: str) -> bool:
        """Whether this open code is not yet exhausted."""
        wrong = self.wrong[code]
        return wrong[address] < MOST_WRONG_OF_ONE and wrong.total() < MOST_WRONG

"""Spans of time, kept so that those which overlap another are found without a look at all. Times in minutes."""

from bisect import bisect_left
from collections.abc import Iterable, Sequence

from msgspec import Struct

Span = tuple[int, int, int]
"""When it begins, the number of an operation, and when it is over."""


class Spans(Struct, frozen=True):
    """Spans by when they begin, then by number. longest: the minutes of the longest one, 0 without any."""

    by_begin: Sequence[Span]
    longest: int


def spans_of(spans: Iterable[Span]) -> Spans:
    """These spans, in any order, as `overlapping` needs them."""
    by_begin = sorted(spans)
    return Spans(by_begin, max((over - begin for begin, _, over in by_begin), default=0))


def overlapping(spans: Spans, since: int, until: int, but: int) -> list[Span]:
    """The spans that begin before `until` and are over after `since`, without that of the operation `but`, in order."""
    first = bisect_left(spans.by_begin, (since - spans.longest,))
    last = bisect_left(spans.by_begin, (until,))
    return [one for one in spans.by_begin[first:last] if one[2] > since and one[1] != but]

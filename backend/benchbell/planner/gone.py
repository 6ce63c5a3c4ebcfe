"""How long work has been in hand: a night, a meal or a day off in between is no work."""

from collections.abc import Callable, Iterable

from benchbell.durations import MINUTE_MS

HoursFrom = Callable[[int, int], Iterable[tuple[int, int]]]
"""Working hours from a moment on, as stretches [start, end) in ms, until they hold so many open minutes."""


def open_minutes_gone(hours: HoursFrom, now: int, since: int, most: int) -> int:
    """Minutes of the shop's hours between two moments in ms, no more than about `most`."""
    return sum(max(0, min(end, now) - max(start, since)) for start, end in hours(since, most)) // MINUTE_MS

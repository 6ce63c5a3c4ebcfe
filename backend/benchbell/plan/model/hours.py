"""The calendar: working hours as sorted lists, and where work fits into them. All times are minutes."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable

from msgspec import Struct

from benchbell.plan.model.problem import NIGHT, Window

FAR = 1 << 40
"""Later than any time that occurs; stands for "never"."""


class Hours(Struct, frozen=True):
    """Window k goes from opens[k] to closes[k]; worked[k] open minutes lie before it, worked[-1] in all windows."""

    opens: list[int]
    closes: list[int]
    worked: list[int]


def hours_of(windows: Iterable[Window], start: int) -> Hours:
    """The hours from `start` on; windows that touch or overlap are joined."""
    opens: list[int] = []
    closes: list[int] = []
    for window in sorted(windows, key=lambda w: w.start):
        begin = max(window.start, start)
        if begin >= window.end:
            continue
        if closes and begin <= closes[-1]:
            closes[-1] = max(closes[-1], window.end)
        else:
            opens.append(begin)
            closes.append(window.end)
    worked = [0]
    for begin, end in zip(opens, closes, strict=True):
        worked.append(worked[-1] + end - begin)
    return Hours(opens, closes, worked)


def open_minutes(hours: Hours, at: int) -> int:
    """How many open minutes lie before `at`."""
    k = bisect_right(hours.opens, at) - 1
    return hours.worked[k] + min(at, hours.closes[k]) - hours.opens[k] if k >= 0 else 0


def mornings(hours: Hours) -> list[int]:
    """When each day but the first begins, in order."""
    return [begin for end, begin in zip(hours.closes, hours.opens[1:], strict=False) if begin - end >= NIGHT]


def earliest_start(hours: Hours, at: int, minutes: int, breakable: bool) -> int:
    """The earliest start, not before `at`, of work that lasts so many minutes; FAR when it fits nowhere."""
    needed = 1 if breakable else minutes
    for k in range(bisect_left(hours.closes, at), len(hours.opens)):
        begin = max(at, hours.opens[k])
        if begin + needed <= hours.closes[k]:
            return begin
    return FAR


def end_of(hours: Hours, start: int, minutes: int) -> int:
    """The end of breakable work that starts at `start`, inside a window; FAR when the hours are too few."""
    k = bisect_right(hours.opens, start) - 1
    left = minutes
    while start + left > hours.closes[k]:
        left -= hours.closes[k] - start
        k += 1
        if k == len(hours.opens):
            return FAR
        start = hours.opens[k]
    return start + left


def latest_start(hours: Hours, by: int, minutes: int, breakable: bool) -> int:
    """The latest start of work that must be done at `by`. All time before the first window counts as open."""
    opens, closes = hours.opens, hours.closes
    k = bisect_left(opens, by if minutes else by + 1) - 1  # work of no length may also end exactly at opening time
    if breakable:
        while k >= 0:
            end = min(by, closes[k])
            if end - opens[k] >= minutes:
                return end - minutes
            minutes -= max(0, end - opens[k])
            k -= 1
    else:
        while k >= 0:
            begin = min(by, closes[k]) - minutes
            if begin >= opens[k]:
                return begin
            k -= 1
    return min(by, opens[0] if opens else by) - minutes

"""Working hours as lists, and what fits into them. Times are minutes, as in `plan/model/problem.py`."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable

from msgspec import Struct

from benchbell.plan.model.problem import Window

FAR = 1 << 40
"""Later than every time there is: what never happens."""


class Hours(Struct, frozen=True):
    """Window k goes from opens[k] to closes[k], and worked[k] open minutes lie before it."""

    opens: list[int]
    closes: list[int]
    worked: list[int]


def hours_of(windows: Iterable[Window], start: int) -> Hours:
    """The hours from `start` on; windows that touch or overlap are one."""
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


def soonest(hours: Hours, at: int, minutes: int, breakable: bool) -> int:
    """When work of so many minutes can begin, not before `at`; FAR when it fits nowhere."""
    needed = 1 if breakable else minutes
    for k in range(bisect_left(hours.closes, at), len(hours.opens)):
        begin = max(at, hours.opens[k])
        if begin + needed <= hours.closes[k]:
            return begin
    return FAR


def end_of(hours: Hours, start: int, minutes: int) -> int:
    """When breakable work that begins at `start`, inside a window, ends; FAR when hours run out."""
    k = bisect_right(hours.opens, start) - 1
    left = minutes
    while start + left > hours.closes[k]:
        left -= hours.closes[k] - start
        k += 1
        if k == len(hours.opens):
            return FAR
        start = hours.opens[k]
    return start + left


def latest(hours: Hours, by: int, minutes: int, breakable: bool) -> int:
    """When work must begin at the latest to be done at `by`. Before the first window all time counts as open."""
    opens, closes = hours.opens, hours.closes
    k = bisect_left(opens, by if minutes else by + 1) - 1  # nothing to do is done at opening time too
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

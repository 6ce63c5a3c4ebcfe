"""The faults of craft in a schedule: what a maker would rather not do, though every rule allows it."""

from bisect import bisect_left, bisect_right
from itertools import accumulate
from typing import Literal

from benchbell.plan.model.compiled_craft import CompiledCraft, WantedLag
from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import Hours, open_minutes

Kind = Literal["torn", "fiddly", "dust", "late act", "visit"]
Fault = tuple[Kind, int, int]
"""Which, what it costs in minutes, and the operation that has it."""


def craft_faults(
    compiled: CompiledProblem, craft: CompiledCraft, order: list[int], start: list[int], end: list[int]
) -> list[Fault]:
    """The faults of a schedule in which every operation is placed.

    order: as operations are taken up. start, end: by operation, of the attended work. craft: the problem's.
    """
    costs, hours, minutes, closings = craft.costs, compiled.hours, compiled.minutes, craft.closings
    faults: list[Fault] = []
    for i in craft.torn:
        if end[i] - start[i] > minutes[i]:
            short = short_pieces(craft, hours, start[i], end[i])
            faults += [("torn", costs.torn, i) for _ in range(short)]
    for i in craft.fiddly:
        if closings[bisect_left(closings, end[i])] - end[i] < costs.last_minutes:
            faults.append(("fiddly", costs.fiddly, i))
    faults += [
        ("late act", costs.late_act, lag.after)
        for lag in craft.wanted
        if start[lag.after] > end[lag.before] + lag.most
        and not (lag.open_only and is_kept_in_hours(hours, lag, start, end))
    ]
    if craft.dusty:
        faults += [("dust", costs.dust, i) for i in dusty_beside_wet(craft, start, end)]
    faults += [("visit", costs.visit, i) for i in visits(craft, compiled.station, order)]
    return faults


def is_kept_in_hours(hours: Hours, lag: WantedLag, start: list[int], end: list[int]) -> bool:
    """True if a wanted lag is not exceeded when beyond the minimal one only minutes in working hours count."""
    since = end[lag.before] + lag.least
    return open_minutes(hours, start[lag.after]) - open_minutes(hours, since) <= lag.most - lag.least


def short_pieces(craft: CompiledCraft, hours: Hours, start: int, end: int) -> int:
    """Into how many pieces shorter than the least the closings tear work from `start` to `end`."""
    closings, least = craft.closings, craft.costs.least_piece
    k = bisect_right(closings, start)
    if closings[k] >= end:
        return 0
    short, since = 0, open_minutes(hours, start)
    while closings[k] < end:
        until = open_minutes(hours, closings[k])
        short += until - since < least
        since = until
        k += 1
    return short + (open_minutes(hours, end) - since < least)


def dusty_beside_wet(craft: CompiledCraft, start: list[int], end: list[int]) -> list[int]:
    """The dusty operations that are worked on while something is wet."""
    wet = sorted((end[i], end[i] + minutes) for i, minutes in craft.wet.items())
    since = [-1, *(begin for begin, _ in wet)]
    until = list(accumulate((craft.wet_until, *(dry for _, dry in wet)), max))
    return [i for i in craft.dusty if start[i] < until[bisect_left(since, end[i]) - 1]]


def visits(craft: CompiledCraft, station: list[int], order: list[int]) -> list[int]:
    """The operations for which somebody comes back to a station after work at others.

    Each pair of hands stands at one station: those that were used last. Work at no
    station, or at one that is near, leaves them as they are.
    """
    hands, manned = craft.hands, [craft.here] if craft.here >= 0 else []
    seen, found = set(manned), []
    for i in order:
        at = station[i]
        if not craft.visits[at] or (manned and manned[-1] == at):
            continue
        if at in manned:
            manned.remove(at)
        elif at in seen:
            found.append(i)
        seen.add(at)
        manned = [*manned, at][-hands:]
    return found

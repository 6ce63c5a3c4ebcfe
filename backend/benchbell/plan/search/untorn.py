"""Where breakable work starts so that no closing time leaves a piece of it that is too short."""

from bisect import bisect_left, bisect_right

from benchbell.plan.model.compiled_craft import CompiledCraft
from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.craft_faults import short_pieces
from benchbell.plan.model.hours import FAR, Hours, end_of, open_minutes


def untorn_start(
    compiled: CompiledProblem, craft: CompiledCraft, hours: Hours, i: int, start: int, setting: int
) -> int:
    """The start of breakable work, or a later one if that costs less than the pieces that are too short.

    Later by some minutes, so that a longer piece is left for after closing; or after it. i: the operation. setting:
    minutes of setting up directly before it.
    """
    minutes = compiled.minutes[i]
    end, k = end_of(hours, start, minutes), bisect_right(craft.closings, start)
    if end == FAR or craft.closings[k] >= end:
        return start
    short = short_pieces(craft, hours, start, end)
    if not short:
        return start
    last = craft.closings[bisect_left(craft.closings, end) - 1]
    more = craft.costs.least_piece - (open_minutes(hours, end) - open_minutes(hours, last))
    for later in (start + max(0, more), opening_after(hours, craft.closings[k]) + setting):
        lost = open_minutes(hours, later) - open_minutes(hours, start)
        if later > start and lost < craft.costs.torn * short and is_whole(compiled, craft, hours, i, later, setting):
            return later
    return start


def is_whole(compiled: CompiledProblem, craft: CompiledCraft, hours: Hours, i: int, start: int, setting: int) -> bool:
    """True if work may start then, with its setting up in the same window, and leaves no piece that is too short."""
    k = bisect_right(hours.opens, start) - 1
    if start - setting < hours.opens[k] or start >= hours.closes[k]:
        return False
    end = end_of(hours, start, compiled.minutes[i])
    return end < FAR and not short_pieces(craft, hours, start, end)


def opening_after(hours: Hours, closing: int) -> int:
    """When the shop opens after a closing time; FAR after the last one."""
    k = bisect_left(hours.opens, closing)
    return hours.opens[k] if k < len(hours.opens) else FAR

"""How long what is left of an operation takes: by its parts, and by the time that hands have been at it already."""

from collections.abc import Callable
from math import ceil

from benchbell.bench.state import OperationState
from benchbell.plan.tasks.stations import setting_minutes
from benchbell.recipe.sheet import Operation

Gone = Callable[[int, int], int]
"""How many of so many minutes have been open in the shop between a moment, server time in ms, and now."""

STILL = 5
"""Minutes that work in hand still takes, however long it has been in hand. Common practice, no source."""


def none_gone(_since: int, _most: int) -> int:
    """For a shop in which nothing is in hand, or in which nobody knows for how long."""
    return 0


def minutes_left(op: Operation, state: OperationState, gone: Gone = none_gone) -> int:
    """Attended minutes left, without setting up, in proportion to the parts that are not done yet; at least 1.

    What has been in hand for a while has less left: since it began, or since its last part was through.
    """
    in_hand = state.status == "in-hand"
    work = op.minutes if in_hand and not op.setup else op.minutes - setting_minutes(op)
    parts = max(1, len(op.parts))
    left = len(state.left) if op.parts else parts
    minutes = work * left / parts
    if in_hand:
        under_way = work / parts if "ticked" in state.marks else minutes
        done = gone(max(state.marks.get("ticked", 0), min(state.marks.values())), ceil(under_way))
        minutes = max(min(minutes, STILL), minutes - done)
    return max(1, ceil(minutes))

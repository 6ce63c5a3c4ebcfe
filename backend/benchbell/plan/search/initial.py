"""A plan at once: what must begin soonest is taken up first."""

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR
from benchbell.plan.search.bound import earliest_starts, latest_starts
from benchbell.plan.search.deadlock import safe_order
from benchbell.plan.search.parallel_generation import Priorities, Walk, walk
from benchbell.plan.search.right_shift import eased
from benchbell.plan.search.serial_generation import timed


def first_walk(shop: CompiledProblem, keys: list[int]) -> Walk:
    """A plan of all there is, if one is found at all; else as much of it as can be."""
    seen = walk_out(shop, Priorities(keys, 0, 0))
    if not seen.left:
        return seen
    order = safe_order(shop)
    return (len(order) == len(keys) and timed(shop, order)) or seen


def walk_out(shop: CompiledProblem, priorities: Priorities) -> Walk:
    """Walk to the end, however late."""
    seen = walk(shop, shop.hours, priorities, [FAR] * len(priorities.keys))
    assert seen
    return eased(shop, seen)


def first_keys(shop: CompiledProblem) -> list[int]:
    """The sooner an operation must begin, the more pressing."""
    heads = earliest_starts(shop)
    soonest = max((shop.ended(i, head) + shop.runs[i] for i, head in enumerate(heads)), default=shop.start)
    return [-start for start in latest_starts(shop, [soonest] * len(shop.ids))]

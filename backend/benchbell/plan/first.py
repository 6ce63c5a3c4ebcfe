"""A plan at once: what must begin soonest is taken up first."""

from benchbell.plan.bound import earliest_starts, latest_starts
from benchbell.plan.dispatch import Walk, Ways, walk
from benchbell.plan.easing import eased
from benchbell.plan.hours import FAR
from benchbell.plan.safe import safe_order
from benchbell.plan.timing import timed
from benchbell.plan.wiring import Shop


def first_walk(shop: Shop, keys: list[int]) -> Walk:
    """A plan of all there is, if one is found at all; else as much of it as can be."""
    seen = walk_out(shop, Ways(keys, 0, 0))
    if not seen.left:
        return seen
    order = safe_order(shop)
    return (len(order) == len(keys) and timed(shop, order)) or seen


def walk_out(shop: Shop, ways: Ways) -> Walk:
    """Walk to the end, however late."""
    seen = walk(shop, shop.hours, ways, [FAR] * len(ways.keys))
    assert seen
    return eased(shop, seen)


def first_keys(shop: Shop) -> list[int]:
    """The sooner an operation must begin, the more pressing."""
    heads = earliest_starts(shop)
    soonest = max((shop.ended(i, head) + shop.runs[i] for i, head in enumerate(heads)), default=shop.start)
    return [-start for start in latest_starts(shop, [soonest] * len(shop.ids))]

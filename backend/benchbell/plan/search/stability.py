"""A plan stays as it is unless a new one is better by more than a little: nobody likes a day that keeps changing."""

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR
from benchbell.plan.model.precedence import sorted_by_need
from benchbell.plan.model.problem import Plan
from benchbell.plan.search.bound import latest_starts
from benchbell.plan.search.parallel_generation import Priorities, Walk, walk
from benchbell.plan.search.serial_generation import timed, worth

LITTLE = 30
"""Minutes by which a plan must be better to take the place of the one before. Common practice, no source."""

FEW = 2
"""Setup changes fewer for which it is worth it too."""

Value = tuple[int, int, int, int]
"""What plans are judged by, less is better: overrun, late, finish, changes."""


def old_keys(shop: CompiledProblem, before: Plan) -> list[int]:
    """Keys that keep the order of an earlier plan; new operations go where their latest starts put them."""
    start = {placed.op: placed.start for placed in before.placed}
    latest = latest_starts(shop, [max(before.finish, shop.start)] * len(shop.ids))
    return [-start.get(id, late) for id, late in zip(shop.ids, latest, strict=True)]


def as_before(shop: CompiledProblem, before: Plan) -> Walk | None:
    """The earlier plan on how things are now: in its very order, or clearly better with what no longer fits put later.

    None where neither can be.
    """
    keys = old_keys(shop, before)
    kept = in_order(shop, keys)
    for wait in (FAR, 0):
        mended = walk(shop, shop.hours, Priorities(keys, 0, wait), [FAR] * len(keys))
        if mended and not mended.left and (kept is None or worth_changing(shop, kept, mended)):
            kept = mended
    return kept


def in_order(shop: CompiledProblem, keys: list[int]) -> Walk | None:
    """Greatest key first, as far as that can be worked."""
    place = [0] * len(keys)
    for n, i in enumerate(sorted(range(len(keys)), key=lambda i: -keys[i])):
        place[i] = n
    gaps = {(i, j): gap for i, pairs in enumerate(shop.afters) for j, gap in pairs}
    return timed(shop, sorted_by_need(len(keys), gaps, place))


def worth_changing(shop: CompiledProblem, old: Walk, new: Walk) -> bool:
    """Whether the new plan is better by more than a little."""
    return much_better(worth(shop, old)[1:], worth(shop, new)[1:])


def much_better(old: Value, new: Value) -> bool:
    """By the first thing in which they differ by more than a little; else by clearly fewer setups."""
    *was, fewest = old
    *now, changes = new
    for a, b in zip(was, now, strict=True):
        if abs(a - b) >= LITTLE:
            return b < a
    return changes <= fewest - FEW

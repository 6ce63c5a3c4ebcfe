"""An order in which clamps never run out for good: whoever takes some must leave enough for somebody to give back."""

from benchbell.plan.model.compiled_problem import CompiledProblem

MOST_LOOKS = 2000
"""States looked at before giving up; a shop's glue-ups seldom need more than one look each."""


def safe_order(shop: CompiledProblem) -> list[int]:
    """All operations in such an order, or as many as were brought into one at best."""
    seen: set[frozenset[int]] = set()
    best: list[int] = []
    left: list[list[int]] = [[]]
    while left and len(seen) < MOST_LOOKS:
        order, takers = gone_on(shop, left.pop())
        done = frozenset(order)
        if done in seen:
            continue
        seen.add(done)
        if len(order) > len(best):
            best = order
        if len(best) == len(shop.ids):
            break
        left += [[*order, i] for i in reversed(takers)]
    return best


def gone_on(shop: CompiledProblem, order: list[int]) -> tuple[list[int], list[int]]:
    """The order with all that can follow without taking clamps; and what could take some next."""
    order, done = order.copy(), set(order)
    for i in shop.order:
        if i not in done and not shop.takes[i] and done.issuperset(before for before, _ in shop.befores[i]):
            done.add(i)
            order.append(i)
    free = shop.free + sum(shop.gives[i] - shop.takes[i] for i in order)
    takers = [
        i
        for i in shop.order
        if i not in done
        and done.issuperset(before for before, _ in shop.befores[i])
        and (free - shop.takes[i]) & shop.asks[i] == shop.asks[i]
    ]
    return order, takers

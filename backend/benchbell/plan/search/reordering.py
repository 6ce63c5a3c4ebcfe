"""The last touches: an operation is put elsewhere in the order, or held back, and all is timed again.

A worker who takes up whatever is best at the moment never waits overnight for something better, nor for a longest wait
to end in time; an order can.
"""

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.search.parallel_generation import Walk
from benchbell.plan.search.random import Random
from benchbell.plan.search.right_shift import eased, passed
from benchbell.plan.search.serial_generation import timed

HOLD = 40
"""Percent of tries that hold something back while limits are passed."""

Order = tuple[list[int], dict[int, int]]
"""Operations as taken up, and those that are held back, with the soonest start they are given."""


def changed(shop: CompiledProblem, chance: Random, order: Order, seen: Walk) -> Order:
    """Another order, a little different; it may turn out to be impossible."""
    over = list(passed(shop, seen))
    if over and chance.below(100) < HOLD:
        return order[0], held(shop, chance, order[1], seen, chance.one_of(over).before)
    return moved(shop, chance, order[0]), order[1]


def held(shop: CompiledProblem, chance: Random, sooner: dict[int, int], seen: Walk, i: int) -> dict[int, int]:
    """One operation held back to a later window or for some minutes, or no longer."""
    kept = {n: at for n, at in sooner.items() if n != i}
    way = chance.below(4)
    if way == 0 and i in sooner:
        return kept
    if way == 1:
        return kept | {i: seen.start[i] + 1 + chance.below(120)}
    coming = [begin for begin in shop.hours.opens if begin > seen.start[i]]
    return kept | {i: coming[chance.below(min(3, len(coming)))]} if coming else kept


def moved(shop: CompiledProblem, chance: Random, order: list[int]) -> list[int]:
    """Up to three that follow each other put elsewhere, no further than what they wait for and what waits for them."""
    count = len(order)
    length = min(count, 1 + chance.below(2) * chance.below(3))
    at = chance.below(count - length + 1)
    block = order[at : at + length]
    rest = order[:at] + order[at + length :]
    before = {b for i in block for b, _ in shop.befores[i]}
    after = {a for i in block for a, _ in shop.afters[i]}
    low = next((n + 1 for n in range(at - 1, -1, -1) if rest[n] in before), 0)
    high = next((n for n in range(at, len(rest)) if rest[n] in after), len(rest))
    to = low + chance.below(high - low + 1)
    return rest[:to] + block + rest[to:]


def timed_well(shop: CompiledProblem, order: Order) -> Walk | None:
    """The order timed, what starts limited waits as late as does no harm."""
    seen = timed(shop, *order)
    return seen and eased(shop, seen)

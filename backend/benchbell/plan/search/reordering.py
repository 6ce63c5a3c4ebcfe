"""The last phase: small changes to the order itself, each generated serially.

Parallel generation starts whatever is best now. It never waits overnight for something better, nor delays an operation
so that a maximal lag can be kept; an explicit order with delays can.
"""

from collections.abc import Sequence

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.craft_faults import Fault
from benchbell.plan.model.schedule import Schedule
from benchbell.plan.search.random import Random
from benchbell.plan.search.right_shift import exceeded
from benchbell.plan.search.setup_runs import joined_in_order

DELAY = 40
"""Percent of tries that delay an operation, while maximal lags are exceeded."""

MEND = 50
"""Percent of the other tries that move an operation which has a fault of craft, where there is one that counts."""

JOIN = 40
"""Percent of the rest that join two runs of one setup, where there are two."""

MOST_DELAY = 120
"""Minutes by which an operation is delayed at most, unless to a later window."""

DelayedOrder = tuple[list[int], dict[int, int]]
"""The order, and the operations that are delayed: operation to its earliest start."""


def changed(
    compiled: CompiledProblem, random: Random, order: DelayedOrder, schedule: Schedule, faults: Sequence[Fault]
) -> DelayedOrder:
    """A slightly different order, which may turn out to be infeasible.

    schedule: that of the given order. faults: those of craft in it.
    """
    over = list(exceeded(compiled, schedule))
    if over and random.below(100) < DELAY:
        return order[0], delayed(compiled, random, order[1], schedule, random.one_of(over).before)
    if compiled.craft and random.below(100) < MEND and faults:
        return moved(compiled, random, order[0], order[0].index(random.one_of(faults)[2])), order[1]
    joined = joined_in_order(compiled, order[0], random) if random.below(100) < JOIN else None
    return joined or moved(compiled, random, order[0], random.below(len(order[0]))), order[1]


def delayed(
    compiled: CompiledProblem, random: Random, delays: dict[int, int], schedule: Schedule, i: int
) -> dict[int, int]:
    """The delays with operation `i` delayed to a later window or by some minutes, or no longer delayed."""
    others = {n: at for n, at in delays.items() if n != i}
    choice = random.below(4)
    if choice == 0 and i in delays:
        return others
    if choice == 1:
        return others | {i: schedule.start[i] + 1 + random.below(MOST_DELAY)}
    coming = [begin for begin in compiled.hours.opens if begin > schedule.start[i]]
    return others | {i: coming[random.below(min(3, len(coming)))]} if coming else others


def moved(compiled: CompiledProblem, random: Random, order: list[int], at: int) -> list[int]:
    """The order with one to three operations from place `at` on moved, between their predecessors and successors."""
    length = min(len(order) - at, 1 + random.below(2) * random.below(3))
    block = order[at : at + length]
    rest = order[:at] + order[at + length :]
    before = {b for i in block for b, _ in compiled.predecessors[i]}
    after = {a for i in block for a, _ in compiled.successors[i]}
    low = next((n + 1 for n in range(at - 1, -1, -1) if rest[n] in before), 0)
    high = next((n for n in range(at, len(rest)) if rest[n] in after), len(rest))
    to = low + random.below(high - low + 1)
    return rest[:to] + block + rest[to:]

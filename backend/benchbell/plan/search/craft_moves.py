"""Moves on the priorities that mend a fault of craft."""

from benchbell.plan.model.craft_faults import Fault
from benchbell.plan.model.precedence import closure
from benchbell.plan.model.schedule import faults_in
from benchbell.plan.search.moves import Incumbent, Move, gather, nudge, reweight, shake, swap, with_values
from benchbell.plan.search.parallel_generation import Priorities

SPREAD = 720
"""Minutes by which a value is changed at most."""


def mend(at: Incumbent) -> Priorities:
    """An operation that has a fault of craft, or one beside it, is done sooner or later."""
    faults = faults_of(at)
    if not faults:
        return nudge(at)
    random, values, order = at.random, at.priorities.values.copy(), at.schedule.order
    kind, _, i = random.one_of(faults)
    if kind == "visit" and random.below(4):
        join(at, values, i)
    elif random.below(2):
        raise_to(at, values, i, values[i] + 1 + random.below(SPREAD))
    else:
        place = order.index(i)
        lowered = i if random.below(2) else order[max(0, place - 1 - random.below(3))]
        values[lowered] -= 1 + random.below(SPREAD)
    return with_values(at.priorities, values)


def faults_of(at: Incumbent) -> list[Fault]:
    """The faults of craft in the incumbent's schedule."""
    return [] if at.schedule.unplaced else faults_in(at.compiled, at.schedule)


def join(at: Incumbent, values: list[int], i: int) -> None:
    """Operation `i` is valued like the last one before it at its station, or that one like it."""
    order, place = at.schedule.order, at.compiled.station
    before = [j for j in order[: order.index(i)] if place[j] == place[i]]
    if not before:
        return
    if at.random.below(2):
        raise_to(at, values, i, values[before[-1]] - at.random.below(3))
    else:
        values[before[-1]] = values[i] + at.random.below(3)


def raise_to(at: Incumbent, values: list[int], i: int, value: int) -> None:
    """Operation `i` and all its predecessors, direct and indirect, are valued at least so high."""
    predecessors = [[before for before, _ in pairs] for pairs in at.compiled.predecessors]
    for n in closure([i], predecessors):
        values[n] = max(values[n], value)


TO_MEND: tuple[tuple[int, Move], ...] = ((35, mend), (15, gather), (15, nudge), (20, swap), (8, shake), (7, reweight))
"""Percent of tries where faults of craft count, while better plans at the same finish are looked for."""

"""Clamps of all kinds packed into one whole number, so that one subtraction asks for all of them.

Each kind has a field of WIDTH bits. The highest bit of a field is a guard, set while no clamp of the kind is missing:
after a subtraction, a cleared guard says that there were too few.
"""

from benchbell.plan.model.problem import Problem

WIDTH = 24
GUARD = 1 << WIDTH - 1


def packed_clamps(problem: Problem) -> tuple[list[int], list[int], int]:
    """Packed counts: taken by operation, given back by operation, and free at the beginning with all guards set.

    Raises KeyError where a hold names an operation that is not there.
    """
    number = {op.id: n for n, op in enumerate(problem.ops)}
    kinds = dict.fromkeys((*problem.clamps, *(hold.kind for hold in problem.holds)))
    shift = {kind: n * WIDTH for n, kind in enumerate(kinds)}
    takes, gives = [0] * len(problem.ops), [0] * len(problem.ops)
    free = sum(GUARD + problem.clamps.get(kind, 0) << shift[kind] for kind in kinds)
    for hold in problem.holds:
        count = hold.count << shift[hold.kind]
        if hold.take:
            takes[number[hold.take]] += count
        else:
            free -= count
        if hold.give:
            gives[number[hold.give]] += count
    return takes, gives, free


def guards_of(packed: int) -> int:
    """The guard bits of the kinds of which the packed count has any."""
    found, shift = 0, 0
    while packed >> shift:
        if packed >> shift & GUARD - 1:
            found |= GUARD << shift
        shift += WIDTH
    return found

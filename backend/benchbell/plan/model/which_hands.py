"""Which pair of hands does what in a plan.

A plan for hands that differ says whose; any other says only when, and any pair that is free may take something up.
"""

from collections.abc import Sequence

from benchbell.plan.model.problem import Placed

NOBODY = -1
"""Work of no length beside busy hands: nobody's hands are needed for it."""


def which_hands(placed: Sequence[Placed], hands: int) -> list[int]:
    """By place in the plan, the number of the pair of hands, from 0 on; of the free ones that idle longest."""
    free = [min((one.setup for one in placed), default=0)] * hands
    found = []
    for one in placed:
        if hands > 1 and one.end == one.setup:
            found.append(NOBODY)
            continue
        pair = free.index(min(free)) if one.hand is None else one.hand
        free[pair] = one.end
        found.append(pair)
    return found

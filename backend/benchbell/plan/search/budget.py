"""How long the search may go on. Schedules are counted, so that the same bench gives the same plan on every machine.

Only who asks for seconds gets seconds; their clock comes in from outside.
"""

from collections.abc import Callable

Budget = Callable[[], float]
"""The share of a budget that is left: 1 at first, 0 or less when it is spent. Called once for each schedule tried."""


WORK = 150_000
"""Operations that one pair of hands has placed in all schedules that are tried, where there are few operations.

With LARGE and CREW it is fitted to CPU time: a quarter of a second in Python, and no more on a phone at a fourth of
that machine's speed.
"""

LARGE = 600
"""With so many operations, placing one takes about twice as long as with few."""

CREW = 3
"""A schedule for several takes as much time as this and one more for each pair of hands would for one."""

LEAST_TRIES = 8
"""Even with thousands of operations, what comes first is compared with something."""


def tries(count: int) -> Budget:
    """A budget of so many schedules tried: the same on every machine."""
    left = count

    def share() -> float:
        nonlocal left
        left -= 1
        return left / count

    return share


def tries_for(operations: int, hands: int) -> int:
    """How many schedules are tried for a plan that somebody waits for: about a quarter of a second's.

    operations: how many the problem has. hands: pairs of hands, at least 1. One schedule takes time by its operations
    and somewhat more, and by the crew.
    """
    for_one = WORK * LARGE // (max(1, operations) * (operations + LARGE))
    return max(LEAST_TRIES, for_one if hands == 1 else for_one // (hands + CREW))


def within(seconds: float, clock: Callable[[], float]) -> Budget:
    """A budget of so many seconds from now on. clock: gives seconds."""
    began = clock()
    return lambda: 1 - (clock() - began) / seconds


def part_of(budget: Budget, until: float) -> Budget:
    """The first part of a larger budget: spent when only the share `until` of the larger one is left."""
    return lambda: (budget() - until) / (1 - until)

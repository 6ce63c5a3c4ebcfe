"""How long the search may go on. Schedules are counted, so that the same bench gives the same plan on every machine.

Only who asks for seconds gets seconds; their clock comes in from outside.
"""

from collections.abc import Callable

Budget = Callable[[], float]
"""The share of a budget that is left: 1 at first, 0 or less when it is spent. Called once for each schedule tried."""


WORK = 150_000
"""Operations that one pair of hands has placed in all schedules that are tried, where there are few operations.

With LARGE it is fitted to CPU time: a quarter of a second in Python, and no more on a phone at a fourth of
that machine's speed.
"""

LARGE = 600
"""With so many operations, placing one takes about twice as long as with few."""

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


def tries_for(operations: int) -> int:
    """How many schedules are tried for a plan that somebody waits for: about a quarter of a second's.

    operations: how many the problem has; one schedule takes time by them, and somewhat more. What takes longer for
    several pairs of hands counts as several tries (`crew/order_search.py`).
    """
    return max(LEAST_TRIES, WORK * LARGE // (max(1, operations) * (operations + LARGE)))


def within(seconds: float, clock: Callable[[], float]) -> Budget:
    """A budget of so many seconds from now on. clock: gives seconds."""
    began = clock()
    return lambda: 1 - (clock() - began) / seconds


def dearer(budget: Budget, tries: int) -> Budget:
    """The same budget for what takes as long as so many tries, at least one: each asking counts as so many."""
    return lambda: min(budget() for _ in range(tries))


def part_of(budget: Budget, until: float) -> Budget:
    """The first part of a larger budget: spent when only the share `until` of the larger one is left."""
    return lambda: (budget() - until) / (1 - until)

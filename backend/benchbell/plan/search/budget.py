"""How long the search may go on. Time comes in as a clock, so that the same number of tries gives the same plan."""

from collections.abc import Callable

Budget = Callable[[], float]
"""The share of a budget that is left: 1 at first, 0 or less when it is spent. Called once for each schedule tried."""


def tries(count: int) -> Budget:
    """A budget of so many schedules tried: the same on every machine."""
    left = count

    def share() -> float:
        nonlocal left
        left -= 1
        return left / count

    return share


def within(seconds: float, clock: Callable[[], float]) -> Budget:
    """A budget of so many seconds from now on. clock: gives seconds."""
    began = clock()
    return lambda: 1 - (clock() - began) / seconds


def part_of(budget: Budget, until: float) -> Budget:
    """The first part of a larger budget: spent when only the share `until` of the larger one is left."""
    return lambda: (budget() - until) / (1 - until)

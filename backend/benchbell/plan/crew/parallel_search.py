"""The local search over priorities for several pairs of hands, each tried by the parallel scheme."""

from collections.abc import Iterator

from benchbell.plan.crew.crew_generation import Crew
from benchbell.plan.crew.guidance import FRUITLESS, POOL, due_for, guide
from benchbell.plan.crew.parallel_generation import generate_parallel_for_crew
from benchbell.plan.model.problem import Objective
from benchbell.plan.model.schedule import Schedule, objective
from benchbell.plan.search.bound import latest_starts
from benchbell.plan.search.budget import Budget
from benchbell.plan.search.moves import Incumbent, gather, lift, nudge, repeated, restart, reweight, shake, shift, swap
from benchbell.plan.search.parallel_generation import Priorities
from benchbell.plan.search.random import Random

WEIGHTS = ((0, 0), (4, 0), (16, 0), (4, 30), (8, 60))
"""Setup weight and longest idle time of the first schedules."""

TARGETS = (0, 30, 60, 90)
"""Where the target lies, in percent of the way from the bound to the best finish; drawn at random."""

MOVES = repeated(
    ((30, nudge), (20, lift), (8, swap), (17, shake), (5, gather), (3, shift), (4, restart), (13, reweight))
)
"""Percent of tries."""

Found = tuple[Objective, Priorities, Schedule]
"""What a schedule is judged by, the priorities that make it, and the schedule."""


class ParallelSearch:
    """One search. bound: a lower bound on the finish. values: by operation, priority values to begin with.

    pool: the best so far, the best first.
    """

    def __init__(self, crew: Crew, budget: Budget, random: Random, bound: int, values: list[int]) -> None:
        self.crew, self.compiled, self.budget, self.random = crew, crew.compiled, budget, random
        self.bound, self.values = bound, values
        self.pool: list[Found] = []

    def first(self) -> Schedule | None:
        """The schedule of the values alone; None where that leads nowhere."""
        found = self.tried(Priorities(self.values, *WEIGHTS[0]))
        return found[2] if found and self.keep(found) else None

    def schedules(self) -> Iterator[Schedule]:
        """Schedules after the first, each better than the one before, until the budget is spent."""
        for weights in WEIGHTS[1:]:
            if self.pool and self.budget() <= 0:
                return
            found = self.tried(Priorities(self.values, *weights))
            if found and self.keep(found):
                yield found[2]
        if not (self.pool and self.values):
            return
        (at, worth), fruitless = self.incumbent(self.pool[0]), 0
        while self.budget() > 0:
            found = self.tried(self.random.one_of(MOVES)(at))
            fruitless += 1
            if found and self.keep(found):
                yield found[2]
                (at, worth), fruitless = self.incumbent(found), 0
            elif fruitless > FRUITLESS:
                (at, worth), fruitless = self.incumbent(self.random.one_of(self.pool)), 0
            elif found and (reached := guide(found[0], found[2], at.latest)) <= worth:
                (_, at.priorities, at.schedule), worth = found, reached

    def tried(self, priorities: Priorities) -> Found | None:
        """The schedule that the priorities make; None where that leads nowhere."""
        schedule = generate_parallel_for_crew(self.crew, priorities)
        return (objective(self.compiled, schedule), priorities, schedule) if schedule else None

    def keep(self, found: Found) -> bool:
        """Put the schedule into the pool if it is the best so far; True if it is."""
        if self.pool and found[0] >= self.pool[0][0]:
            return False
        self.pool = [found, *self.pool[: POOL - 1]]
        return True

    def incumbent(self, found: Found) -> tuple[Incumbent, tuple[int, int, int]]:
        """The schedule as a start for moves, and how far it is from a target somewhat before the best finish."""
        value, priorities, schedule = found
        best = self.pool[0][2].finish
        target = self.bound + (best - self.bound) * self.random.one_of(TARGETS) // 100
        due = due_for(self.compiled, target, self.bound)
        latest = latest_starts(self.compiled, due)
        at = Incumbent(self.compiled, self.compiled, self.random, due, latest, priorities, schedule)
        return at, guide(value, schedule, latest)

"""The local search for several pairs of hands: over orders, each generated serially for the crew."""

from collections.abc import Iterator

from benchbell.plan.crew.as_project import project_of
from benchbell.plan.crew.crew_bound import crew_bound
from benchbell.plan.crew.crew_generation import Crew, crew_with_limits
from benchbell.plan.crew.guidance import FRUITLESS, POOL, due_for, guide
from benchbell.plan.crew.parallel_search import ParallelSearch
from benchbell.plan.crew.project_search import search_project
from benchbell.plan.model.problem import Objective, Plan, Problem
from benchbell.plan.model.schedule import Schedule, objective, order_of, plan_of, schedule_of
from benchbell.plan.search.bound import latest_starts, least_changes, lower_bound
from benchbell.plan.search.budget import Budget, dearer, part_of
from benchbell.plan.search.initial import latest_start_values
from benchbell.plan.search.moves import Incumbent, gather, lift, nudge, repeated, restart, shake, shift, swap
from benchbell.plan.search.parallel_generation import Priorities
from benchbell.plan.search.random import Random
from benchbell.plan.search.stability import values_of_plan

PARALLEL, PROJECT = 0.3, 0.2
"""Shares of the budget that are left when the search turns from the parallel scheme to the relaxed project, and from
that to moves on the order."""

SERIAL_COST, PROJECT_COST = 1.5, 12
"""What timing one order, and the first orders of the relaxed project, take at least, as multiples of the first plan.

Measured on 114 to 2,900 operations; less budget than that is better left unspent.
"""

FIRST_TRIES, ORDER_TRIES, PROJECT_TRIES, MEMBER_TRIES = 20, 7, 150, 10
"""How many tries these count as: the first plan; an order timed; the relaxed project with its first schedule; each
later one. A schedule of the parallel scheme counts as one, and one more for each pair of hands.

About as long as each takes, on 240 to 340 operations, beside a try of the search for one pair of hands.
"""

TARGET = 70
"""Where the target lies, in percent of the way from the bound to the best finish."""

MOVES = repeated(((30, nudge), (15, lift), (15, swap), (14, shake), (15, gather), (7, shift), (4, restart)))
"""Percent of tries."""


class OrderSearch:
    """One search. bound: a lower bound on the finish. values: by operation, its latest start, negated.

    dear: the budget, asked where an order is timed. pool: the best so far, the best first. first_cost: the share of the
    budget that was spent for the first plan.
    """

    def __init__(self, problem: Problem, crew: Crew, budget: Budget, random: Random) -> None:
        self.problem, self.crew, self.compiled, self.budget, self.random = problem, crew, crew.compiled, budget, random
        closes = self.compiled.hours.closes
        most = closes[-1] if closes else self.compiled.start
        self.bound = crew_bound(crew, most) if crew.people else lower_bound(self.compiled, most, crew.hands)
        self.least_changes = least_changes(self.compiled)
        self.values = latest_start_values(self.compiled)
        self.dear = dearer(budget, ORDER_TRIES)
        in_parallel = part_of(dearer(budget, 1 + crew.hands), PARALLEL)
        self.in_parallel = ParallelSearch(crew, in_parallel, random, self.bound, self.values)
        self.pool: list[Schedule] = []
        self.first_cost = 0.0

    def kept_plan(self, before: Plan) -> Plan | None:
        """The earlier plan's order, generated for the problem as it is now; None if that is infeasible."""
        schedule = crew_with_limits(self.crew, by_value(values_of_plan(self.compiled, before)))
        return plan_of(self.compiled, schedule, self.bound) if schedule else None

    def first_plan(self) -> Plan | None:
        """One plan by the parallel scheme, the least latest start first; None where that leads nowhere."""
        found = self.in_parallel.first()
        self.first_cost = 1 - dearer(self.budget, FIRST_TRIES)()
        schedule = found and self.kept_to_rules(found)
        if not schedule:
            return None
        self.pool = [schedule]
        return plan_of(self.compiled, schedule, self.bound)

    def timed(self, alone: Plan) -> Plan | None:
        """A plan for one pair of hands that may do everything, as it is for this crew; None if it is infeasible."""
        if not self.crew.people:
            return plan_of(self.compiled, schedule_of(self.compiled, alone), self.bound)
        self.dear()
        schedule = crew_with_limits(self.crew, order_of(self.compiled, alone))
        return plan_of(self.compiled, schedule, self.bound) if schedule else None

    def kept_to_rules(self, found: Schedule) -> Schedule | None:
        """A schedule of the parallel scheme, timed anew where the scheme leaves out a rule; None if infeasible."""
        compiled = self.compiled
        if self.crew.begun or compiled.max_lags or compiled.by:
            return crew_with_limits(self.crew, found.order)
        return found

    def plans(self, begin: Plan | None) -> Iterator[Plan]:
        """Plans, each better than the one before. begin: a plan whose order is tried too, if there is one."""
        for cost, schedules in (
            (0, self.from_parallel()),
            (SERIAL_COST, self.from_plan(begin)),
            (PROJECT_COST, self.from_project()),
            (SERIAL_COST, self.from_moves()),
        ):
            if (begin or self.pool) and self.budget() <= cost * self.first_cost:
                continue
            for schedule in schedules:
                if schedule and (not self.pool or self.value(schedule) < self.value(self.pool[0])):
                    self.pool = [schedule, *self.pool[: POOL - 1]]
                    yield plan_of(self.compiled, schedule, self.bound)

    def value(self, schedule: Schedule) -> Objective:
        """The objective, less is better."""
        return objective(self.compiled, schedule)

    def from_plan(self, plan: Plan | None) -> Iterator[Schedule | None]:
        """The schedule of a plan's order; without a plan, of the order by latest starts."""
        order = order_of(self.compiled, plan) if plan else by_value(self.values)
        yield crew_with_limits(self.crew, order)

    def from_parallel(self) -> Iterator[Schedule | None]:
        """Schedules of the orders that the parallel scheme finds best."""
        for found in self.in_parallel.schedules():
            yield self.kept_to_rules(found)

    def from_project(self) -> Iterator[Schedule | None]:
        """Schedules of the orders in which the relaxed project is done best."""
        if self.budget() <= PROJECT:
            return
        best = None
        budget = dearer(self.budget, PROJECT_TRIES)
        for found in search_project(project_of(self.problem, self.crew), self.random):
            if budget() <= PROJECT:
                return
            budget = dearer(self.budget, MEMBER_TRIES)
            if found is not best:
                best = found
                order = sorted(range(len(self.compiled.ids)), key=found.start.__getitem__)
                yield crew_with_limits(self.crew, order)

    def from_moves(self) -> Iterator[Schedule | None]:
        """Schedules after moves, guided by lateness against a target."""
        if not self.pool:
            return
        at, fruitless = self.incumbent(self.pool[0]), 0
        while self.dear() > 0 and not self.is_optimal():
            priorities = self.random.one_of(MOVES)(at)
            schedule = crew_with_limits(self.crew, by_value(priorities.values))
            yield schedule
            if self.pool[0] is schedule or fruitless > FRUITLESS:
                begin = schedule if self.pool[0] is schedule else self.random.one_of(self.pool)
                at, fruitless = self.incumbent(begin), 0
                continue
            fruitless += 1
            if schedule and self.guide(schedule, at) <= self.guide(at.schedule, at):
                at.priorities, at.schedule = priorities, schedule

    def guide(self, schedule: Schedule, at: Incumbent) -> tuple[int, int, int]:
        """How far the schedule is from the incumbent's target, less is better."""
        return guide(self.value(schedule), schedule, at.latest)

    def incumbent(self, schedule: Schedule) -> Incumbent:
        """The schedule as a start for moves: values that keep its order, and a target somewhat before its finish."""
        target = self.bound + (schedule.finish - self.bound) * TARGET // 100
        due = due_for(self.compiled, target, self.bound)
        return Incumbent(
            compiled=self.compiled,
            reverse=self.compiled,
            random=self.random,
            due=due,
            latest=latest_starts(self.compiled, due),
            priorities=Priorities([-start for start in schedule.start], 0, 0),
            schedule=schedule,
        )

    def is_optimal(self) -> bool:
        """True if the best schedule reaches the bounds, so that none can be better."""
        overrun, late, _, cost, changes = self.value(self.pool[0])
        return not (overrun or late or cost > self.bound or changes > self.least_changes)


def by_value(values: list[int]) -> list[int]:
    """Operations, the greatest value first."""
    return sorted(range(len(values)), key=values.__getitem__, reverse=True)

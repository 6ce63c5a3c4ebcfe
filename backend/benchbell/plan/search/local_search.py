"""The local search: change the priorities a little, generate a schedule in parallel, keep it if it is no worse.

Finishes come in steps: lunch, evening, weekend; most changes do not move them. So the search is guided by lateness, the
minutes past the latest starts that a slightly earlier finish would need. The finish itself only tells which plan is
best.

Phases, by share of the budget: a first schedule; forward and backward passes in turn; moves towards an earlier finish;
moves towards fewer faults of craft and setup changes; changes to the order itself.
"""

from collections.abc import Iterator

from benchbell.findings import Refused
from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR
from benchbell.plan.model.schedule import Rank, Schedule, faults_in, overrun_of, rank
from benchbell.plan.search.bound import earliest_starts, latest_starts, least_changes, lower_bound
from benchbell.plan.search.budget import Budget
from benchbell.plan.search.checkpoints import Generated
from benchbell.plan.search.craft_moves import TO_MEND
from benchbell.plan.search.edge_finding import sharper_bound
from benchbell.plan.search.initial import initial_schedule, latest_start_values, parallel_with_limits
from benchbell.plan.search.moves import TO_FINISH, TO_SAVE_SETUPS, Incumbent, repeated
from benchbell.plan.search.parallel_generation import Priorities, generate_with_checkpoints
from benchbell.plan.search.random import Random
from benchbell.plan.search.reordering import DelayedOrder, changed
from benchbell.plan.search.resumption import difference_between
from benchbell.plan.search.reversed import latest_by_backward_pass, reversed_problem
from benchbell.plan.search.right_shift import right_shifted
from benchbell.plan.search.serial_resumption import generate_resumed

TARGETS = (0, 30, 60, 90)
"""Where the target lies, in percent of the way from the bound to the best finish; drawn at random, since what leads
past one closing time leads nowhere at another."""

FRUITLESS = 100
"""Tries without a better plan after which the search goes on from another plan of the pool."""

POOL = 12
"""How many of the best plans are remembered, no two worth the same."""

ROUNDS = 5
"""Forward and backward passes for each pair of weights."""

SAVE_SETUPS = 0.25
"""Share of the budget that is left when the search turns to fewer setup changes at the same finish."""

MEND = 0.35
"""The same where faults of craft count, which are mended then."""

REORDER, REORDER_CRAFT, REORDER_OVERRUN = 0.05, 0.2, 0.5
"""Share of the budget that is left when the search turns to the order itself: where faults of craft do not
count, where they do, and with some overrun."""

PROVE = 0.85
"""Share of the budget that is left when edge finding ends at the latest."""

TRIES_OF_A_PASS = 8
"""How many tries one pass of edge finding counts as: about as long as it takes."""

MOST_TO_PROVE = 300
"""Operations up to which edge finding, whose time grows with their square, is tried."""

WEIGHTS = ((0, 0), (4, 0), (16, 0), (4, 30), (8, 60), (2, 15))
"""Setup weight and longest idle time of the first schedules."""


class Search:
    """One search, for one pair of hands. bound: a lower bound on the finish.

    pool: the best of all that were found, one of each worth, whether better than those before or not, the best first.
    values: by operation, priority values to begin with, such as those of an earlier plan; latest starts without any.
    """

    def __init__(self, compiled: CompiledProblem, budget: Budget, random: Random, values: list[int] | None) -> None:
        self.compiled, self.budget, self.random = compiled, budget, random
        self.reverse = reversed_problem(compiled)
        self.heads = earliest_starts(compiled)
        self.least_changes = least_changes(compiled)
        self.values = values or latest_start_values(compiled)
        self.bound = lower_bound(compiled, max(compiled.hours.closes, default=compiled.start))
        self.pool: list[tuple[Rank, Priorities, Schedule]] = []

    def schedules(self) -> Iterator[Schedule]:
        """Schedules of all operations, each better than the one before.

        Raises Refused if some operations cannot be placed.
        """
        yield from self.first()
        yield from self.forward_and_backward()
        self.prove()
        yield from self.finish_earlier()
        yield from self.save_setups()
        yield from self.reorder()

    def is_over(self, share: float) -> bool:
        """True if only this share of the budget is left, or no plan can be better."""
        return self.budget() <= share or self.is_optimal()

    def is_optimal(self) -> bool:
        """True if the best plan reaches the bounds, so that none can be better."""
        unplaced, overrun, late, _, cost, changes = self.pool[0][0]
        return not (unplaced or overrun or late or cost > self.bound or changes > self.least_changes)

    def is_earliest(self) -> bool:
        """True if no plan can finish earlier or be less late."""
        unplaced, overrun, late, *_ = self.pool[0][0]
        return not (unplaced or overrun or late or self.pool[0][2].finish > self.bound)

    def keep(self, priorities: Priorities, schedule: Schedule) -> bool:
        """Put the schedule into the pool if it is among the best, and none there is worth the same; True if it is best.

        What is second best by another way is a better start than what the best one came from.
        """
        value = rank(self.compiled, schedule)
        better = sum(other < value for other, _, _ in self.pool)
        if better < POOL and all(other != value for other, _, _ in self.pool):
            self.pool.insert(better, (value, priorities, schedule))
            del self.pool[POOL:]
            return better == 0
        return False

    def first(self) -> Iterator[Schedule]:
        """One schedule at once. Raises Refused if some operations cannot be placed."""
        schedule = initial_schedule(self.compiled, self.values)
        if schedule.unplaced:
            raise Refused(
                f"{schedule.unplaced} of {len(self.values)} operations cannot be planned.",
                "Leave out what cannot be planned.",
            )
        self.keep(Priorities(self.values, *WEIGHTS[0]), schedule)
        yield schedule

    def forward_and_backward(self) -> Iterator[Schedule]:
        """Forward-backward improvement: the latest starts of a backward pass are the values of the next forward pass.

        After Li and Willis 1992 (from memory); here for several weights, and with a calendar.
        """
        for setup_weight, most_idle in WEIGHTS:
            priorities = Priorities(self.values, setup_weight, most_idle)
            for _ in range(ROUNDS):
                if self.is_over(0):
                    return
                schedule = parallel_with_limits(self.compiled, priorities)
                if self.keep(priorities, schedule):
                    yield schedule
                due = [schedule.finish] * len(self.values)
                last_first = Priorities(schedule.end, setup_weight, most_idle)
                latest = latest_by_backward_pass(self.compiled, self.reverse, due, last_first)
                values = [-start for start in latest or latest_starts(self.compiled, due)]
                priorities = Priorities(values, setup_weight, most_idle)

    def prove(self) -> None:
        """Raise the bound by edge finding, for a small part of the budget, where the finish is what can be better."""
        (_, overrun, late, *_), _, best = self.pool[0]
        if len(self.values) <= MOST_TO_PROVE and not (overrun or late) and best.finish > self.bound:
            self.bound = sharper_bound(self.compiled, self.bound, best.finish, self.is_pass_spent)

    def is_pass_spent(self) -> bool:
        """True if nothing is left of the budget's part for proving. A pass counts as several tries."""
        return min(self.budget() for _ in range(TRIES_OF_A_PASS)) <= PROVE

    def targets(self) -> list[int]:
        """By operation, when it should be done in a plan that is a little better than the best so far."""
        (_, _, late, *_), _, best = self.pool[0]
        finish = best.finish
        percent = self.random.one_of(TARGETS)
        target = finish if late else self.bound + (finish - self.bound) * percent // 100
        due = [target] * len(self.values)
        for piece in self.compiled.pieces:
            done = max(best.end[i] + self.compiled.runs[i] for i in piece.ops)
            earliest = max(self.compiled.end(i, self.heads[i]) + self.compiled.runs[i] for i in piece.ops)
            wanted = min(target, piece.due) if done <= piece.due else earliest + (done - earliest) * percent // 100
            for i in piece.ops:
                due[i] = max(piece.due, wanted) if done > piece.due else wanted
        return due

    def incumbent(self, priorities: Priorities, due: list[int]) -> Incumbent:
        """The solution of these priorities, to start moves from, with this target."""
        latest = latest_starts(self.compiled, due)
        generated = generate_with_checkpoints(self.compiled, self.compiled.hours, priorities, latest)
        assert generated
        schedule = generated.schedule
        return Incumbent(self.compiled, self.reverse, self.random, due, latest, priorities, schedule, generated)

    def generate(self, at: Incumbent, priorities: Priorities, most_late: int) -> Generated | None:
        """What these priorities make, of which only what may differ from the incumbent is generated.

        None if it is later than `most_late`; the incumbent's own, if nothing differs.
        """
        difference = None
        if at.generated and not at.generated.schedule.unplaced:
            difference = difference_between(self.compiled, at.priorities, priorities, at.generated)
            if difference is None:
                return at.generated
        hours = self.compiled.hours
        return generate_with_checkpoints(self.compiled, hours, priorities, at.latest, most_late, difference)

    def finish_earlier(self) -> Iterator[Schedule]:
        """Moves, guided by lateness against a moving target."""
        moves = repeated(TO_FINISH)
        at = self.incumbent(self.pool[0][1], self.targets())
        fruitless = 0
        share = max(MEND if self.compiled.craft else SAVE_SETUPS, self.reorder_share())
        while not self.is_over(share) and not self.is_earliest():
            priorities = self.random.one_of(moves)(at)
            unplaced, overrun, lateness = self.guide(at.schedule)
            found = self.generate(at, priorities, FAR if unplaced or overrun else lateness)
            fruitless += 1
            if found is at.generated:
                at.priorities = priorities
            elif found and self.keep(priorities, right_shifted(self.compiled, found.schedule)):
                yield self.pool[0][2]
                at, fruitless = self.incumbent(priorities, self.targets()), 0
            elif found and self.guide(found.schedule) <= self.guide(at.schedule):
                at.priorities, at.schedule, at.generated = priorities, found.schedule, found
            if fruitless > FRUITLESS:
                at, fruitless = self.incumbent(self.random.one_of(self.pool)[1], self.targets()), 0

    def guide(self, schedule: Schedule) -> tuple[int, int, int]:
        """What guides the search in place of the objective, less is better: unplaced, overrun, lateness."""
        overrun = 0 if schedule.unplaced else overrun_of(self.compiled, schedule)
        return schedule.unplaced, overrun, schedule.lateness

    def save_setups(self) -> Iterator[Schedule]:
        """Moves, guided by the objective itself: mostly towards fewer faults and setup changes on the same day."""
        moves = repeated(TO_MEND if self.compiled.craft else TO_SAVE_SETUPS)
        value, priorities, schedule = self.pool[0]
        at = self.incumbent(priorities, [self.latest_finish()] * len(self.values))
        most_late = FAR if value[1] or value[2] else 0
        while not self.is_over(self.reorder_share()):
            priorities = self.random.one_of(moves)(at)
            found = self.generate(at, priorities, most_late)
            if found is None:
                continue
            if found is at.generated:
                at.priorities = priorities
                continue
            schedule = right_shifted(self.compiled, found.schedule)
            better = rank(self.compiled, schedule)
            if better <= value:
                at.priorities, at.schedule, at.generated, value = priorities, schedule, found, better
            if self.keep(priorities, schedule):
                yield schedule

    def latest_finish(self) -> int:
        """The latest finish that a better plan could have: on the same day, if craft gains what it is later."""
        _, _, _, day, cost, _ = self.pool[0][0]
        mornings = self.compiled.mornings
        return min(cost, mornings[day]) if day < len(mornings) else cost

    def reorder_share(self) -> float:
        """Share of the budget that is kept for changes to the order."""
        if self.pool[0][0][1]:
            return REORDER_OVERRUN
        return REORDER_CRAFT if self.compiled.craft else REORDER

    def reorder(self) -> Iterator[Schedule]:
        """Small changes to the best plan's order, each kept if it is no worse."""
        value, priorities, schedule = self.pool[0]
        order: DelayedOrder = (schedule.order, {})
        faults, generated = faults_in(self.compiled, schedule), generate_resumed(self.compiled, *order)
        while not self.is_over(0):
            other = changed(self.compiled, self.random, order, schedule, faults)
            found = generate_resumed(self.compiled, *other, generated)
            if found is None:
                continue
            shifted = right_shifted(self.compiled, found.schedule)
            amiss = faults_in(self.compiled, shifted)
            better = rank(self.compiled, shifted, amiss)
            if better <= value:
                is_better, value = better < value, better
                order, generated, schedule, faults = other, found, shifted, amiss
                if is_better:
                    self.keep(priorities, schedule)
                    yield schedule

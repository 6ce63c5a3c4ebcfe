"""Better and better plans: change the priorities of choosing a little, walk again, keep what is no worse.

Finishes come in steps: lunch, evening, weekend. So the search is led by lateness against the starts that a slightly
sooner finish would need, and looks at the finish itself only to tell which plan is best.
"""

from collections.abc import Callable, Iterator

from benchbell.findings import Refused
from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR
from benchbell.plan.search.bound import earliest_starts, latest_starts, least_changes, lower_bound
from benchbell.plan.search.initial import first_keys, first_walk, walk_out
from benchbell.plan.search.moves import TO_FINISH, TO_POLISH, Scene, drawn
from benchbell.plan.search.parallel_generation import Priorities, Walk, walk
from benchbell.plan.search.random import Random
from benchbell.plan.search.reordering import Order, changed, timed_well
from benchbell.plan.search.reversed import latest_by_mirror, reversed_problem
from benchbell.plan.search.right_shift import eased
from benchbell.plan.search.serial_generation import worth

AIMS = (0, 30, 60, 90)
"""Percent of the way from the bound to the best finish at which the next finish is aimed, by chance: what leads past
one closing time leads astray at another."""

FRUITLESS = 100
"""Tries without a better plan after which another good one is gone on from."""

KEPT = 12
"""Plans to go on from."""

ROUNDS = 5
"""To and fro between the shop and its reverse, for each manner."""

POLISH = 0.25
"""Share of the budget that goes into fewer setups at the same finish."""

TOUCHES, TOUCHES_OVERRUN = 0.05, 0.5
"""Share of the budget for last touches to the order; more of it where limits are passed."""

MANNERS = ((0, 0), (4, 0), (16, 0), (4, 30), (8, 60), (2, 15))
"""Saving and wait of the first plans."""

Worth = tuple[int, int, int, int, int]


class Search:
    """One search over a shop. left: share of the budget that is left, 1 at first, at most 0 when it is spent.

    given: keys to begin with, such as those of an earlier plan.
    """

    def __init__(
        self, shop: CompiledProblem, left: Callable[[], float], chance: Random, given: list[int] | None
    ) -> None:
        self.shop, self.left, self.chance = shop, left, chance
        self.reverse = reversed_problem(shop)
        self.heads = earliest_starts(shop)
        self.least_changes = least_changes(shop)
        self.keys = given or first_keys(shop)
        self.bound = lower_bound(shop, max(shop.hours.closes, default=shop.start))
        self.pool: list[tuple[Worth, Priorities, Walk]] = []

    def walks(self) -> Iterator[Walk]:
        """Plans, each better than the one before."""
        yield from self.first()
        yield from self.begin()
        yield from self.sooner()
        yield from self.tidier()
        yield from self.reordered()

    def over(self, share: float) -> bool:
        """Whether only so much of the budget is left, or no plan can be better."""
        return self.left() <= share or self.ideal()

    def ideal(self) -> bool:
        """Whether no plan can be better."""
        left, overrun, late, finish, changes = self.pool[0][0]
        return not (left or overrun or late or finish > self.bound or changes > self.least_changes)

    def keep(self, priorities: Priorities, seen: Walk) -> bool:
        """Keep a walk if it is the best so far."""
        value = worth(self.shop, seen)
        if self.pool and value >= self.pool[0][0]:
            return False
        self.pool = [(value, priorities, seen), *self.pool[: KEPT - 1]]
        return True

    def first(self) -> Iterator[Walk]:
        """A plan at once."""
        seen = first_walk(self.shop, self.keys)
        if seen.left:
            raise Refused(
                f"{seen.left} of {len(self.keys)} operations cannot be planned.", "Leave out what `impossible` names."
            )
        self.keep(Priorities(self.keys, *MANNERS[0]), seen)
        yield seen

    def begin(self) -> Iterator[Walk]:
        """A few plans in different manners, each to and fro between the shop and its reverse."""
        for saving, wait in MANNERS:
            priorities = Priorities(self.keys, saving, wait)
            for _ in range(ROUNDS):
                if self.over(0):
                    return
                seen = walk_out(self.shop, priorities)
                if self.keep(priorities, seen):
                    yield seen
                by = [seen.finish] * len(self.keys)
                starts = latest_by_mirror(self.shop, self.reverse, by, Priorities(seen.end, saving, wait))
                priorities = Priorities([-start for start in starts or latest_starts(self.shop, by)], saving, wait)

    def aims(self) -> list[int]:
        """By operation, when it should be done so that the plan would be a little better than the best."""
        (_, _, late, finish, _), _, best = self.pool[0]
        percent = self.chance.one_of(AIMS)
        aim = finish if late else self.bound + (finish - self.bound) * percent // 100
        by = [aim] * len(self.keys)
        for piece in self.shop.pieces:
            done = max(best.end[i] + self.shop.runs[i] for i in piece.ops)
            soonest = max(self.shop.ended(i, self.heads[i]) + self.shop.runs[i] for i in piece.ops)
            wanted = min(aim, piece.due) if done <= piece.due else soonest + (done - soonest) * percent // 100
            for i in piece.ops:
                by[i] = max(piece.due, wanted) if done > piece.due else wanted
        return by

    def scene(self, priorities: Priorities, by: list[int]) -> Scene:
        """What moves look at, walked through once."""
        latest = latest_starts(self.shop, by)
        seen = walk(self.shop, self.shop.hours, priorities, latest)
        assert seen
        return Scene(self.shop, self.reverse, self.chance, by, latest, priorities, seen)

    def sooner(self) -> Iterator[Walk]:
        """Led by lateness."""
        moves = drawn(TO_FINISH)
        scene = self.scene(self.pool[0][1], self.aims())
        fruitless = 0
        while not self.over(max(POLISH, self.last_share())):
            priorities = self.chance.one_of(moves)(scene)
            left, overrun, late = self.led(scene.walk)
            seen = walk(self.shop, self.shop.hours, priorities, scene.latest, FAR if left or overrun else late)
            if seen and self.keep(priorities, eased(self.shop, seen)):
                yield self.pool[0][2]
                scene, fruitless = self.scene(priorities, self.aims()), 0
            elif fruitless >= FRUITLESS:
                scene, fruitless = self.scene(self.chance.one_of(self.pool)[1], self.aims()), 0
            else:
                fruitless += 1
                if seen and self.led(seen) <= self.led(scene.walk):
                    scene.priorities, scene.walk = priorities, seen

    def led(self, seen: Walk) -> tuple[int, int, int]:
        """What leads the search, less is better."""
        left, overrun, *_ = worth(self.shop, seen)
        return left, overrun, seen.late

    def tidier(self) -> Iterator[Walk]:
        """Led by what a plan is judged by, so mostly by fewer setups at the same finish."""
        moves = drawn(TO_POLISH)
        value, priorities, seen = self.pool[0]
        scene = self.scene(priorities, [seen.finish] * len(self.keys))
        most_late = FAR if value[1] or value[2] else 0
        while not self.over(self.last_share()):
            priorities = self.chance.one_of(moves)(scene)
            found = walk(self.shop, self.shop.hours, priorities, scene.latest, most_late)
            if found is None:
                continue
            seen = eased(self.shop, found)
            better = worth(self.shop, seen)
            if better <= value:
                scene.priorities, scene.walk, value = priorities, seen, better
            if self.keep(priorities, seen):
                yield seen

    def last_share(self) -> float:
        """Share of the budget for last touches."""
        return TOUCHES_OVERRUN if self.pool[0][0][1] else TOUCHES

    def reordered(self) -> Iterator[Walk]:
        """The best plan's order, touched up."""
        value, priorities, seen = self.pool[0]
        order: Order = (seen.order, {})
        while not self.over(0):
            other = changed(self.shop, self.chance, order, seen)
            found = timed_well(self.shop, other)
            if found and worth(self.shop, found) <= value:
                order, seen, value = other, found, worth(self.shop, found)
                if self.keep(priorities, seen):
                    yield seen

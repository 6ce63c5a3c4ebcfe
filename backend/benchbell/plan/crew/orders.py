"""Look for the order in which several hands are done soonest, each order timed to the minute."""

from collections.abc import Callable, Iterator

from benchbell.plan.crew.as_project import project_of
from benchbell.plan.crew.search import search
from benchbell.plan.crew.timing import Crew, timed_well
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.search.bound import latest_starts, least_changes, lower_bound
from benchbell.plan.search.initial import first_keys
from benchbell.plan.search.moves import Scene, anew, gather, lift, nudge, shake, shift, swap
from benchbell.plan.search.parallel_generation import Priorities, Walk
from benchbell.plan.search.random import Random
from benchbell.plan.search.serial_generation import plan_of, worth
from benchbell.plan.search.stability import old_keys

Left = Callable[[], float]
"""Share of the budget that is left, at most 0 when it is spent; asked once for each order tried."""

PROJECT = 0.75
"""Share of the budget still left when the problem as a project has had its own."""

AIM = 70
"""Percent of the way from the bound to the best finish at which the next finish is aimed."""

FRUITLESS = 100
"""Tries without a better plan after which one of the best is gone on from."""

KEPT = 12

MOVES = (*(nudge,) * 30, *(lift,) * 15, *(swap,) * 15, *(shake,) * 14, *(gather,) * 15, *(shift,) * 7, *(anew,) * 4)


class Orders:
    """One search. bound: no plan finishes sooner."""

    def __init__(self, problem: Problem, crew: Crew, left: Left, chance: Random) -> None:
        self.problem, self.crew, self.shop, self.left, self.chance = problem, crew, crew.shop, left, chance
        closes = self.shop.hours.closes
        self.bound = lower_bound(self.shop, closes[-1] if closes else self.shop.start, crew.hands)
        self.least_changes = least_changes(self.shop)
        self.kept: list[Walk] = []

    def as_before(self, before: Plan) -> Plan | None:
        """The earlier plan's order on how things are now; None where that cannot be."""
        keys = old_keys(self.shop, before)
        seen = timed_well(self.crew, by_key(keys))
        return plan_of(self.shop, seen, self.bound) if seen else None

    def plans(self, begin: Plan | None) -> Iterator[Plan]:
        """Plans, each better than the one before. begin: the plan in whose order to begin, if there is one."""
        for walks in (self.again(begin), self.from_project(), self.from_moves()):
            for seen in walks:
                if seen and (not self.kept or worth(self.shop, seen) < worth(self.shop, self.kept[0])):
                    self.kept = [seen, *self.kept[: KEPT - 1]]
                    yield plan_of(self.shop, seen, self.bound)

    def again(self, plan: Plan | None) -> Iterator[Walk | None]:
        """A plan's order, on all hands; without one, by latest starts."""
        if plan:
            number = {id: n for n, id in enumerate(self.shop.ids)}
            yield timed_well(self.crew, [number[placed.op] for placed in plan.placed])
        else:
            yield timed_well(self.crew, by_key(first_keys(self.shop)))

    def from_project(self) -> Iterator[Walk | None]:
        """Orders of the problem as a project, its best schedules."""
        best = None
        for schedule in search(project_of(self.problem, self.crew), self.chance):
            if self.left() <= PROJECT:
                return
            if schedule is not best:
                best = schedule
                yield timed_well(self.crew, sorted(range(len(self.shop.ids)), key=schedule.start.__getitem__))

    def from_moves(self) -> Iterator[Walk | None]:
        """Small changes to the best, led by how late it is for a somewhat sooner finish."""
        if not self.kept:
            return
        scene, fruitless = self.scene(self.kept[0]), 0
        while self.left() > 0 and not self.is_ideal():
            priorities = self.chance.one_of(MOVES)(scene)
            seen = timed_well(self.crew, by_key(priorities.keys))
            yield seen
            if self.kept[0] is seen or fruitless > FRUITLESS:
                scene, fruitless = self.scene(seen if self.kept[0] is seen else self.chance.one_of(self.kept)), 0
                continue
            fruitless += 1
            if seen and self.led(seen, scene.latest) <= self.led(scene.walk, scene.latest):
                scene.priorities, scene.walk = priorities, seen

    def scene(self, seen: Walk) -> Scene:
        """What moves look at: keys that keep the order, and latest starts for the finish that is aimed at."""
        aim = self.bound + (seen.finish - self.bound) * AIM // 100
        by = [aim] * len(self.shop.ids)
        for piece in self.shop.pieces:
            for i in piece.ops:
                by[i] = min(aim, max(piece.due, self.bound))
        keys = [-start for start in seen.start]
        return Scene(
            shop=self.shop,
            reverse=self.shop,
            chance=self.chance,
            by=by,
            latest=latest_starts(self.shop, by),
            priorities=Priorities(keys, 0, 0),
            walk=seen,
        )

    def led(self, seen: Walk, latest: list[int]) -> tuple[int, int, int]:
        """What leads the search, less is better."""
        _, overrun, late, _, changes = worth(self.shop, seen)
        behind = sum(start - last for start, last in zip(seen.start, latest, strict=True) if start > last)
        return overrun, late + behind, changes

    def is_ideal(self) -> bool:
        """Whether no plan can be better."""
        _, overrun, late, finish, changes = worth(self.shop, self.kept[0])
        return not (overrun or late or finish > self.bound or changes > self.least_changes)


def by_key(keys: list[int]) -> list[int]:
    """Operations, the most pressing first."""
    return sorted(range(len(keys)), key=keys.__getitem__, reverse=True)

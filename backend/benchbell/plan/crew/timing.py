"""When several hands do each operation: one after the other in a given order, each as soon as every rule lets it.

An operation may be put before one that stands earlier in the order, where hands are free; a station's operations
keep the order, for its setups follow from it. Clamps count as taken for good until the operation that gives them back
has its place; what would take too many waits until then.
"""

from bisect import insort
from collections.abc import Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from benchbell.plan.crew.axis import Axis, Team
from benchbell.plan.model.compiled_problem import CompiledProblem, compile_problem
from benchbell.plan.model.hours import FAR, soonest
from benchbell.plan.model.precedence import closure
from benchbell.plan.model.problem import Problem
from benchbell.plan.search.parallel_generation import Walk
from benchbell.plan.search.serial_generation import worth

ROUNDS = 4
"""How often what starts limited waits is held back further, at most."""


class Clamps:
    """How many clamps are free, over time, all kinds packed into one number."""

    def __init__(self, free: int) -> None:
        self.free = free
        self.moments: list[tuple[int, int]] = []

    def change(self, at: int, by: int) -> None:
        """From then on there are so many more."""
        if by:
            insort(self.moments, (at, by))
            self.free += by

    def free_from(self, takes: int, asks: int) -> int:
        """The first moment from which so many are free for good; FAR while they are not given back."""
        free = self.free - takes
        if free & asks != asks:
            return FAR
        for at, by in reversed(self.moments):
            free -= by
            if free & asks != asks:
                return at
        return -FAR


class Crew(Struct, frozen=True):
    """The shop with so many pairs of hands. shop: compile_problem as if nothing were begun.

    begun: what is in hand already; first: that, and what it waits for: nothing else is taken up before it.
    """

    shop: CompiledProblem
    axis: Axis
    hands: int
    begun: frozenset[int]
    first: frozenset[int]


def crew_of(problem: Problem) -> Crew:
    """Raises KeyError where a link or hold names an operation that is not there."""
    shop = compile_problem(replace(problem, ops=tuple(replace(op, begun=False) for op in problem.ops)))
    begun = [n for n, op in enumerate(problem.ops) if op.begun]
    befores = [[before for before, _ in ones] for ones in shop.befores]
    return Crew(shop, Axis(shop.hours), problem.hands, frozenset(begun), frozenset(closure(begun, befores)))


def timed_well(crew: Crew, order: Sequence[int]) -> Walk | None:
    """The order on all hands, what starts a wait with a limit held back as long as that brings less overrun."""
    best = timed_for(crew, order)
    if not best or not crew.shop.limits:
        return best
    no_sooner: dict[int, int] = {}
    for _ in range(ROUNDS):
        for x in crew.shop.limits:
            over = best.start[x.after] - best.end[x.before] - x.most
            if over > 0:
                no_sooner[x.before] = best.start[x.before] + over
        held = timed_for(crew, order, no_sooner)
        if not held or worth(crew.shop, held) >= worth(crew.shop, best):
            break
        best = held
    return best


def timed_for(crew: Crew, order: Sequence[int], no_sooner: Mapping[int, int] | None = None) -> Walk | None:
    """The order on all hands; None where clamps or hours do not allow it.

    no_sooner: operations that begin later than they could.
    """
    shop, axis, count = crew.shop, crew.axis, len(order)
    by_rank = sorted(order, key=lambda i: i not in crew.first)
    rank = [0] * count
    for r, i in enumerate(by_rank):
        rank[i] = r
    waits = [len(befores) for befores in shop.befores]
    ranks = sorted(rank[i] for i in range(count) if not waits[i])
    begin = shop.ready.copy()
    for i, at in (no_sooner or {}).items():
        begin[i] = max(begin[i], at)
    standing, busy = shop.standing.copy(), [shop.start] * len(shop.standing)
    team, clamps = Team(axis, crew.hands), Clamps(shop.free)
    start, end, setups = [0] * count, [0] * count, [0] * count
    placed: list[int] = []
    floor, finish, changes, begun = shop.start, shop.start, 0, len(crew.begun)
    while ranks:
        unclamped = FAR
        for n, r in enumerate(ranks):
            i = by_rank[r]
            if begun and i not in crew.first:
                return None
            unclamped = clamps.free_from(shop.takes[i], shop.asks[i]) if shop.takes[i] else -FAR
            if unclamped < FAR:
                del ranks[n]
                break
        else:
            return None
        place = shop.station[i]
        setting = shop.change[place][standing[place]][shop.setup[i]] if place >= 0 else 0
        soon = max(floor, busy[place] if place >= 0 else floor, max(begin[i], unclamped) - setting)
        minutes = setting + shop.minutes[i]
        if minutes:
            position = team.free_from(axis.position(soon), setting + shop.needed[i], minutes)
            if position == FAR:
                return None
            team.book(position, minutes)
            setups[i], end[i] = axis.time(position), axis.end(position + minutes)
        else:
            setups[i] = end[i] = soonest(shop.hours, soon, 0, False)
            if end[i] == FAR:
                return None
        start[i] = setups[i] + setting
        placed.append(i)
        if i in crew.begun:
            begun -= 1
            floor = shop.start if begun else max(setups[j] for j in crew.begun)
        clamps.change(start[i], -shop.takes[i])
        clamps.change(end[i], shop.gives[i])
        over = end[i] + shop.runs[i]
        if place >= 0:
            busy[place] = over
            if shop.setup[i] >= 0 and standing[place] != shop.setup[i]:
                standing[place] = shop.setup[i]
                changes += 1
        finish = max(finish, over)
        for j, gap in shop.afters[i]:
            begin[j] = max(begin[j], end[i] + gap)
            waits[j] -= 1
            if not waits[j]:
                insort(ranks, rank[j])
    placed.sort(key=setups.__getitem__)
    return Walk(placed, start, end, finish, changes, 0, 0)

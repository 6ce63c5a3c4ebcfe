"""Serial schedule generation for several pairs of hands: each operation of an order as early as every rule allows.

An operation may be put before one that stands earlier in the order, where hands are free. The operations of one
station keep the order, since setups depend on it. Clamps count as taken for good until the operation that gives them
back is placed; an operation that would take too many is put off until then.
"""

from bisect import insort
from collections.abc import Mapping, Sequence

from msgspec import Struct

from benchbell.plan.crew.axis import Axis, Team
from benchbell.plan.model.begun import without_begun
from benchbell.plan.model.compiled_problem import NONE, CompiledProblem
from benchbell.plan.model.hours import FAR, earliest_start
from benchbell.plan.model.problem import Problem
from benchbell.plan.model.schedule import Schedule, objective
from benchbell.plan.search.untorn import untorn_start

ROUNDS = 4
"""How often operations that start exceeded maximal lags are delayed further, at most."""


class Crew(Struct, frozen=True):
    """A problem for several pairs of hands. compiled, begun, first: as in `UnbegunProblem`; axis: its open minutes."""

    compiled: CompiledProblem
    axis: Axis
    hands: int
    begun: frozenset[int]
    first: frozenset[int]


def crew_of(problem: Problem) -> Crew:
    """The problem for its crew. Raises KeyError where a link or hold names an operation that is not there."""
    apart = without_begun(problem)
    return Crew(apart.compiled, Axis(apart.compiled.hours), problem.hands, apart.begun, apart.first)


def crew_with_limits(crew: Crew, order: Sequence[int]) -> Schedule | None:
    """The schedule of this order, in which operations that start a maximal lag are delayed while that saves overrun.

    None where clamps or hours do not allow the order.
    """
    best = generate_for_crew(crew, order)
    if not best or not crew.compiled.max_lags:
        return best
    not_before: dict[int, int] = {}
    for _ in range(ROUNDS):
        for lag in crew.compiled.max_lags:
            over = best.start[lag.after] - best.end[lag.before] - lag.most
            if over > 0:
                not_before[lag.before] = best.start[lag.before] + over
        delayed = generate_for_crew(crew, order, not_before)
        if not delayed or objective(crew.compiled, delayed) >= objective(crew.compiled, best):
            break
        best = delayed
    return best


def generate_for_crew(crew: Crew, order: Sequence[int], not_before: Mapping[int, int] | None = None) -> Schedule | None:
    """The schedule of this order; None where clamps or hours do not allow it.

    not_before: operation to its earliest start in minutes, for operations that are delayed on purpose.
    """
    generation = CrewGeneration(crew, order, not_before or {})
    while generation.eligible:
        i, unclamped = generation.next_operation()
        if i == NONE or not generation.place(i, unclamped):
            return None
    return generation.schedule()


class ClampsOverTime:
    """How many clamps are free, over time, all kinds packed into one number. free: after all changes so far."""

    def __init__(self, free: int) -> None:
        self.free = free
        self.changes: list[tuple[int, int]] = []

    def change(self, at: int, by: int) -> None:
        """From `at` on there are so many more, or fewer."""
        if by:
            insort(self.changes, (at, by))
            self.free += by

    def free_from(self, takes: int, guards: int) -> int:
        """The first moment from which so many are free for good, -FAR if always; FAR while they are not given back."""
        free = self.free - takes
        if free & guards != guards:
            return FAR
        for at, by in reversed(self.changes):
            free -= by
            if free & guards != guards:
                return at
        return -FAR


class CrewGeneration:
    """A schedule that is being generated.

    by_rank: operations in the order, those of `Crew.first` before all others; rank: the inverse. eligible: ranks of
    the operations whose predecessors are all placed, sorted. ready: by operation, its earliest start so far. waits: by
    operation, how many predecessors are not placed. floor: nothing is taken up before it. begun_left: how many begun
    operations are not placed. taken_up: by operation, when its setting up starts.
    """

    def __init__(self, crew: Crew, order: Sequence[int], not_before: Mapping[int, int]) -> None:
        self.crew, self.compiled = crew, crew.compiled
        compiled, count = crew.compiled, len(order)
        self.by_rank = sorted(order, key=lambda i: i not in crew.first)
        self.rank = [0] * count
        for r, i in enumerate(self.by_rank):
            self.rank[i] = r
        self.waits = compiled.waits.copy()
        self.eligible = sorted(self.rank[i] for i in compiled.sources)
        self.ready = compiled.ready.copy()
        for i, at in not_before.items():
            self.ready[i] = max(self.ready[i], at)
        self.standing, self.busy = compiled.standing.copy(), [compiled.start] * len(compiled.standing)
        self.team, self.clamps = Team(crew.axis, crew.hands), ClampsOverTime(compiled.free)
        self.start, self.end, self.taken_up = [0] * count, [0] * count, [0] * count
        self.placed: list[int] = []
        self.floor, self.finish, self.changes = compiled.start, compiled.start, 0
        self.begun_left = len(crew.begun)

    def next_operation(self) -> tuple[int, int]:
        """The first eligible operation whose clamps come free, and when they do; it is no longer eligible then.

        (NONE, FAR) if there is none, or if others would have to come before an operation that is begun.
        """
        for n, r in enumerate(self.eligible):
            i = self.by_rank[r]
            if self.begun_left and i not in self.crew.first:
                break
            takes = self.compiled.takes[i]
            unclamped = self.clamps.free_from(takes, self.compiled.guards[i]) if takes else -FAR
            if unclamped < FAR:
                del self.eligible[n]
                return i, unclamped
        return NONE, FAR

    def place(self, i: int, unclamped: int) -> bool:
        """Place the operation as early as it can be; False if the hours are too few. unclamped: see above."""
        compiled = self.compiled
        at, setup = compiled.station[i], compiled.setup[i]
        setting = compiled.setup_minutes[at][self.standing[at]][setup] if at >= 0 else 0
        earliest = max(self.floor, max(self.ready[i], unclamped) - setting)
        if at >= 0:
            earliest = max(earliest, self.busy[at])
        if not self.take_up(i, earliest, setting):
            return False
        self.placed.append(i)
        if i in self.crew.begun:
            self.note_begun()
        self.clamps.change(self.start[i], -compiled.takes[i])
        self.clamps.change(self.end[i], compiled.gives[i])
        free = self.end[i] + compiled.runs[i]
        self.finish = max(self.finish, free)
        if at >= 0:
            self.use_station(at, setup, free)
        self.release(i)
        return True

    def take_up(self, i: int, earliest: int, setting: int) -> bool:
        """Reserve hands for setting up and work, not before `earliest`; False if the hours are too few."""
        compiled, axis = self.compiled, self.crew.axis
        minutes = setting + compiled.minutes[i]
        if minutes:
            position = self.team.free_from(axis.position(earliest), setting + compiled.needed[i], minutes)
            if position == FAR:
                return False
            if compiled.craft and compiled.breakable[i]:
                whole = untorn_start(
                    compiled, compiled.craft, compiled.hours, i, axis.time(position) + setting, setting
                )
                later = self.team.free_from(axis.position(whole - setting), setting + compiled.needed[i], minutes)
                position = position if later == FAR else later
            self.team.reserve(position, minutes)
            self.taken_up[i], self.end[i] = axis.time(position), axis.end(position + minutes)
        else:
            self.taken_up[i] = self.end[i] = earliest_start(compiled.hours, earliest, 0, False)
            if self.end[i] == FAR:
                return False
        self.start[i] = self.taken_up[i] + setting
        return True

    def note_begun(self) -> None:
        """One more begun operation is placed; after the last of them the others may start beside it, not before."""
        self.begun_left -= 1
        self.floor = self.compiled.start if self.begun_left else max(self.taken_up[j] for j in self.crew.begun)

    def use_station(self, at: int, setup: int, free: int) -> None:
        """The station is busy until `free` and stands in this setup."""
        self.busy[at] = free
        if setup >= 0 and self.standing[at] != setup:
            self.standing[at] = setup
            self.changes += 1

    def release(self, i: int) -> None:
        """Successors may start after the operation and their minimal lags, once they wait for nothing else."""
        for j, lag in self.compiled.successors[i]:
            self.ready[j] = max(self.ready[j], self.end[i] + lag)
            self.waits[j] -= 1
            if not self.waits[j]:
                insort(self.eligible, self.rank[j])

    def schedule(self) -> Schedule:
        """What was generated."""
        order = sorted(self.placed, key=self.taken_up.__getitem__)
        return Schedule(order, self.start, self.end, self.finish, self.changes)

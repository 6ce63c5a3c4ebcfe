"""The serial schedule generation scheme for one pair of hands: each operation of a given order as early as it can be.

One pair of hands keeps the order strictly: no operation is put into a gap before an earlier one of the order.
"""

from collections.abc import Mapping, Sequence
from operator import add

from msgspec import Struct

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR, earliest_start
from benchbell.plan.model.schedule import Schedule
from benchbell.plan.search.untorn import untorn_start


class Between(Struct, frozen=True):
    """What the rest of a generation depends on, before a place of its order, but for the ends of what is placed.

    now: when hands are free. free: packed clamps. changes: of setups so far. standing, busy: by station, its setup and
    until when it is busy.
    """

    now: int
    free: int
    changes: int
    standing: list[int]
    busy: list[int]


def generate_serial(
    compiled: CompiledProblem, order: Sequence[int], not_before: Mapping[int, int] | None = None
) -> Schedule | None:
    """The schedule of this order; None where precedence, clamps or hours do not allow the order.

    not_before: operation to its earliest start in minutes, for operations that are delayed on purpose.
    """
    generation = SerialGeneration(compiled, len(order), not_before or {})
    for i in order:
        if not generation.place(i):
            return None
    return generation.schedule(order)


class SerialGeneration:
    """A schedule that is being generated; state of hands, stations and clamps after the operations placed so far.

    ready: by operation, its earliest start, whatever its predecessors. end: FAR until it is placed. The rest as in
    `Between`.
    """

    def __init__(self, compiled: CompiledProblem, count: int, not_before: Mapping[int, int]) -> None:
        self.compiled = compiled
        self.ready = compiled.ready
        if not_before:
            self.ready = compiled.ready.copy()
            for i, at in not_before.items():
                self.ready[i] = max(self.ready[i], at)
        self.start, self.end = [0] * count, [FAR] * count
        self.now, self.free, self.changes = compiled.start, compiled.free, 0
        self.standing, self.busy = compiled.standing.copy(), [compiled.start] * len(compiled.standing)

    def go_on_from(self, at: Between, like: Schedule, rest: Sequence[int]) -> None:
        """Take up the state before a place of the order of `like`, from which on come the `rest`."""
        self.now, self.free, self.changes = at.now, at.free, at.changes
        self.standing, self.busy = at.standing.copy(), at.busy.copy()
        self.start, self.end = like.start.copy(), like.end.copy()
        for i in rest:
            self.end[i] = FAR

    def end_as(self, like: Schedule, was: Between, rest: Sequence[int]) -> None:
        """Place the rest as in `like`, whose state before it was `was`; `go_on_from` has set when it starts."""
        for i in rest:
            self.end[i] = like.end[i]
        self.changes += like.changes - was.changes

    def between(self) -> Between:
        """The state as it is now."""
        return Between(self.now, self.free, self.changes, self.standing.copy(), self.busy.copy())

    def schedule(self, order: Sequence[int]) -> Schedule:
        """The schedule, when every operation of the order is placed."""
        finish = max(map(add, self.end, self.compiled.runs), default=self.compiled.start)
        return Schedule(list(order), self.start, self.end, finish, self.changes)

    def place(self, i: int) -> bool:
        """Place the operation as early as it can be; False if it cannot be placed next."""
        compiled, now, ready = self.compiled, self.now, self.ready[i]
        at, setup, takes, guards = compiled.station[i], compiled.setup[i], compiled.takes[i], compiled.guards[i]
        if (self.free - takes) & guards != guards:
            return False
        for before, lag in compiled.predecessors[i]:
            ready = max(ready, self.end[before] + lag)
        setting = 0
        if at >= 0:
            setting = compiled.setup_minutes[at][self.standing[at]][setup]
            now = max(now, self.busy[at])
        start = setting + earliest_start(compiled.hours, max(now, ready - setting), setting + compiled.needed[i], False)
        if compiled.craft and compiled.breakable[i] and start < FAR:
            start = untorn_start(compiled, compiled.craft, compiled.hours, i, start, setting)
        end = compiled.end(i, start) if start < FAR else FAR
        if end >= FAR:
            return False
        self.start[i], self.end[i], self.now = start, end, end
        self.free += compiled.gives[i] - takes
        if at >= 0:
            self.use_station(at, setup, end + compiled.runs[i])
        return True

    def use_station(self, at: int, setup: int, free: int) -> None:
        """The station is busy until `free` and stands in this setup."""
        self.busy[at] = free
        if setup >= 0 and self.standing[at] != setup:
            self.standing[at] = setup
            self.changes += 1

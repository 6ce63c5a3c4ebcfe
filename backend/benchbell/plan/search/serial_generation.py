"""The serial schedule generation scheme for one pair of hands: each operation of a given order as early as it can be.

One pair of hands keeps the order strictly: no operation is put into a gap before an earlier one of the order.
"""

from collections.abc import Mapping, Sequence

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR, earliest_start
from benchbell.plan.model.schedule import Schedule
from benchbell.plan.search.untorn import untorn_start


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
    return Schedule(list(order), generation.start, generation.end, generation.finish, generation.changes)


class SerialGeneration:
    """A schedule that is being generated; state of hands, stations and clamps after the operations placed so far.

    now: when hands are free. ready: by operation, its earliest start so far. waits: by operation, how many
    predecessors are not placed. busy, standing: by station, until when it is busy and its setup. free: packed clamps.
    """

    def __init__(self, compiled: CompiledProblem, count: int, not_before: Mapping[int, int]) -> None:
        self.compiled = compiled
        self.ready = compiled.ready.copy()
        for i, at in not_before.items():
            self.ready[i] = max(self.ready[i], at)
        self.waits = compiled.waits.copy()
        self.standing, self.busy = compiled.standing.copy(), [compiled.start] * len(compiled.standing)
        self.free = compiled.free
        self.start, self.end = [0] * count, [0] * count
        self.now, self.finish, self.changes = compiled.start, compiled.start, 0

    def place(self, i: int) -> bool:
        """Place the operation as early as it can be; False if it cannot be placed next."""
        compiled = self.compiled
        at, setup, takes, guards = compiled.station[i], compiled.setup[i], compiled.takes[i], compiled.guards[i]
        if self.waits[i] or (self.free - takes) & guards != guards:
            return False
        setting = 0
        if at >= 0:
            setting = compiled.setup_minutes[at][self.standing[at]][setup]
            self.now = max(self.now, self.busy[at])
        begin = max(self.now, self.ready[i] - setting)
        start = setting + earliest_start(compiled.hours, begin, setting + compiled.needed[i], False)
        if compiled.craft and compiled.breakable[i] and start < FAR:
            start = untorn_start(compiled, compiled.craft, compiled.hours, i, start, setting)
        end = compiled.end(i, start) if start < FAR else FAR
        if end >= FAR:
            return False
        self.start[i], self.end[i], self.now = start, end, end
        self.free += compiled.gives[i] - takes
        free = end + compiled.runs[i]
        self.finish = max(self.finish, free)
        if at >= 0:
            self.use_station(at, setup, free)
        for j, lag in compiled.successors[i]:
            self.ready[j] = max(self.ready[j], end + lag)
            self.waits[j] -= 1
        return True

    def use_station(self, at: int, setup: int, free: int) -> None:
        """The station is busy until `free` and stands in this setup."""
        self.busy[at] = free
        if setup >= 0 and self.standing[at] != setup:
            self.standing[at] = setup
            self.changes += 1

"""What is kept of a parallel generation, so that with slightly other priorities only a part of it is generated again.

A move leaves most of the order as it is: nothing differs before the first operation that may be chosen otherwise, nor
after all that differ, once both are in the same state again.
"""

from msgspec import Struct
from msgspec.structs import replace

from benchbell.plan.model.schedule import Schedule

CHECKPOINTS = 10
"""How many checkpoints are kept of a generation, about; more cost more than they save."""

LEAST_STEP = 4
"""Operations from one checkpoint to the next, at least."""


class State(Struct, frozen=True):
    """A generation between two choices: all that the rest of it depends on but the priorities.

    now: the moment. window: number of the current window. eligible: operations. here: the station where work was last
    done. due: pairs in the order in which `OpenLags` goes through them. wet_until, wanted: of `OpenCraft`, the latter
    what is due. busy, ready, wet_until: no sooner than now, since what is over makes no difference. The rest as in
    `Eligible`.
    """

    now: int
    window: int
    free: int
    eligible: list[int]
    standing: list[int]
    busy: list[int]
    waits: list[int]
    ready: list[int]
    here: int
    due: list[tuple[int, int]]
    wet_until: int
    wanted: dict[int, int]


class Checkpoint(Struct, frozen=True):
    """The state before the operation at a place in the order is chosen, and changes and lateness until then."""

    place: int
    changes: int
    lateness: int
    state: State


class Generated(Struct, frozen=True):
    """A schedule, and what is needed to generate another one from part of it.

    costs: by place in the order, at what cost the operation was chosen, or more: a value that grew since may be left
    out. checkpoints: one for each `step` places.
    """

    schedule: Schedule
    costs: list[int]
    checkpoints: list[Checkpoint]
    step: int


class Difference(Struct, frozen=True):
    """Where other priorities may choose otherwise than those that made `of`, for the same problem and latest starts.

    first: the first such place in the order. last: the last place of an operation whose value differs.
    """

    of: Generated
    first: int
    last: int

    def is_over(self, mark: int, state: State) -> bool:
        """True if nothing differs from this place on, a checkpoint's, at which another generation is in this state."""
        return mark > self.last and state == self.of.checkpoints[mark // self.of.step].state


def step_for(count: int) -> int:
    """Operations from one checkpoint to the next, for so many operations in all."""
    return max(LEAST_STEP, count // CHECKPOINTS)


def checkpoints_from(like: Generated, mark: int, changes: int, lateness: int) -> list[Checkpoint]:
    """The checkpoints from this place on, for a generation with other changes and lateness until then."""
    rest = like.checkpoints[mark // like.step :]
    changes -= rest[0].changes
    lateness -= rest[0].lateness
    return [replace(x, changes=x.changes + changes, lateness=x.lateness + lateness) for x in rest]

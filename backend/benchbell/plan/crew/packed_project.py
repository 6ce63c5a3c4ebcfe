"""A project with all resources packed into one whole number, so that one addition asks for all of them.

Each resource has a field wide enough for its capacity; the highest bit of a field is a guard. Usage counts up from a
value chosen so that one unit too many sets the guard: while no guard is set, no resource is short.
"""

from itertools import accumulate

from msgspec import Struct

from benchbell.plan.crew.project import Project, topological

Links = list[list[int]]
"""By activity, its direct predecessors or its direct successors."""


class PackedProject(Struct, frozen=True):
    """The project with activities renumbered in a topological order.

    number: the old number of each. needs: packed, by activity. unused: the packed usage when nothing runs. guard: the
    guard bits. head: earliest start by precedence alone; tail: from the start to the end of the project, likewise.
    horizon: time for all activities one after the other.
    """

    number: list[int]
    minutes: list[int]
    needs: list[int]
    unused: int
    guard: int
    predecessors: Links
    successors: Links
    head: list[int]
    tail: list[int]
    horizon: int


def pack(project: Project) -> PackedProject:
    """The project packed. Raises Refused on a precedence cycle, or a need above the capacity."""
    number = topological(project)
    place = {old: new for new, old in enumerate(number)}
    activities = [project.activities[old] for old in number]
    capacities = project.capacities
    widths = [capacity.bit_length() + 1 for capacity in capacities]
    shifts = [0, *accumulate(widths)][: len(widths)]
    guard = sum(1 << shift + width - 1 for shift, width in zip(shifts, widths, strict=True))
    predecessors = [sorted({place[old] for old in activity.after}) for activity in activities]
    successors: Links = [[] for _ in activities]
    for new, befores in enumerate(predecessors):
        for before in befores:
            successors[before].append(new)
    minutes = [activity.minutes for activity in activities]
    forward, backward = range(len(minutes)), range(len(minutes))[::-1]
    return PackedProject(
        number=number,
        minutes=minutes,
        needs=[in_fields(activity.needs, shifts) for activity in activities],
        unused=guard - in_fields(tuple(capacity + 1 for capacity in capacities), shifts),
        guard=guard,
        predecessors=predecessors,
        successors=successors,
        head=heads(minutes, predecessors, forward),
        tail=[n + m for n, m in zip(heads(minutes, successors, backward), minutes, strict=True)],
        horizon=sum(minutes),
    )


def in_fields(amounts: tuple[int, ...], shifts: list[int]) -> int:
    """Amounts of all resources in one number. shifts: the lowest bit of each resource's field."""
    return sum(amount << shift for amount, shift in zip(amounts, shifts, strict=True))


def heads(minutes: list[int], predecessors: Links, order: range) -> list[int]:
    """Earliest starts by precedence alone. order: such that each activity comes after its predecessors."""
    head = [0] * len(minutes)
    for new in order:
        head[new] = max((head[before] + minutes[before] for before in predecessors[new]), default=0)
    return head

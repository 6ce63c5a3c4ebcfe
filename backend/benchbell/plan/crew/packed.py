"""A project with all resources of a moment packed into one whole number, so that one subtraction asks for all of them.

Each resource has a field, wide enough for its capacity, whose highest bit is a guard. What is used counts up from just
so far below the guards that a unit too much sets one: as long as no guard is set, nothing is short.
"""

from itertools import accumulate

from msgspec import Struct

from benchbell.plan.crew.project import Project, topological

Links = list[list[int]]


class Packed(Struct, frozen=True):
    """Activities renumbered so that each comes after what it waits for; number: their old numbers.

    needs: packed; unused: where counting begins; guard: the guards alone. before, after: direct links.
    head: soonest start, tail: least time from start to the end of everything, by links alone. horizon: enough for all
    activities one after the other.
    """

    number: list[int]
    minutes: list[int]
    needs: list[int]
    unused: int
    guard: int
    before: Links
    after: Links
    head: list[int]
    tail: list[int]
    horizon: int


def packed(project: Project) -> Packed:
    """Raises Refused when activities wait for each other in a circle, or one needs more than there is."""
    number = topological(project)
    place = {old: new for new, old in enumerate(number)}
    activities = [project.activities[old] for old in number]
    capacities = project.capacities
    widths = [capacity.bit_length() + 1 for capacity in capacities]
    shifts = [0, *accumulate(widths)][: len(widths)]
    guard = sum(1 << shift + width - 1 for shift, width in zip(shifts, widths, strict=True))
    before = [sorted({place[old] for old in activity.after}) for activity in activities]
    after: Links = [[] for _ in activities]
    for new, ones in enumerate(before):
        for one in ones:
            after[one].append(new)
    minutes = [activity.minutes for activity in activities]
    return Packed(
        number=number,
        minutes=minutes,
        needs=[in_fields(activity.needs, shifts) for activity in activities],
        unused=guard - in_fields(tuple(capacity + 1 for capacity in capacities), shifts),
        guard=guard,
        before=before,
        after=after,
        head=heads(minutes, before, range(len(minutes))),
        tail=[n + m for n, m in zip(heads(minutes, after, range(len(minutes))[::-1]), minutes, strict=True)],
        horizon=sum(minutes),
    )


def in_fields(amounts: tuple[int, ...], shifts: list[int]) -> int:
    """Amounts of all resources in one number."""
    return sum(amount << shift for amount, shift in zip(amounts, shifts, strict=True))


def heads(minutes: list[int], before: Links, order: range) -> list[int]:
    """Soonest starts by links alone; order: such that each comes after its befores."""
    head = [0] * len(minutes)
    for new in order:
        head[new] = max((head[one] + minutes[one] for one in before[new]), default=0)
    return head

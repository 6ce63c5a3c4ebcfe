"""Schedule generation schemes for a packed project, and forward-backward improvement.

Serial and parallel scheme: Kolisch 1996; forward-backward improvement, or double justification: Li and Willis 1992,
Valls, Ballestín and Quintanilla 2005 (from memory). A schedule here is the list of its ends, by activity, from 0.
With successors in place of predecessors the same functions plan backward, and ends are counted from the finish back.
"""

from collections.abc import Sequence

from benchbell.plan.crew.packed_project import Links, PackedProject


def serial(project: PackedProject, order: Sequence[int], predecessors: Links) -> list[int]:
    """Serial scheme: each activity of the order as early as it fits, also before activities placed already.

    order: each activity after its predecessors. A place is checked from its last unit back, so that one full unit
    rules out every start before it.
    """
    used = [project.unused] * project.horizon
    minutes, needs, guard = project.minutes, project.needs, project.guard
    ends = [0] * len(minutes)
    for one in order:
        begin = 0
        for other in predecessors[one]:
            if ends[other] > begin:
                begin = ends[other]
        need, long = needs[one], minutes[one]
        at = begin + long - 1
        while at >= begin:
            if (used[at] + need) & guard:
                begin = at + 1
                at += long
            else:
                at -= 1
        ends[one] = end = begin + long
        for at in range(begin, end):
            used[at] += need
    return ends


def parallel(project: PackedProject, key: Sequence[int]) -> list[int]:
    """Parallel scheme: at each moment every activity that fits is started, the least key first."""
    minutes, needs, guard = project.minutes, project.needs, project.guard
    waits = [len(befores) for befores in project.predecessors]
    ends = [0] * len(minutes)
    eligible = sorted((one for one, left in enumerate(waits) if not left), key=key.__getitem__)
    running: list[tuple[int, int]] = []
    used, now = project.unused, 0
    while eligible or running:
        later = []
        for one in eligible:
            if (used + needs[one]) & guard:
                later.append(one)
                continue
            used += needs[one]
            ends[one] = now + minutes[one]
            running.append((ends[one], one))
        now = min(running)[0]
        still = []
        for end, one in running:
            if end > now:
                still.append((end, one))
                continue
            used -= needs[one]
            for other in project.successors[one]:
                waits[other] -= 1
                if not waits[other]:
                    later.append(other)
        running = still
        eligible = sorted(later, key=key.__getitem__)
    return ends


def by_latest_end(ends: Sequence[int]) -> list[int]:
    """The order for a backward pass: the latest end first; of equal ends the greatest number first."""
    return sorted(range(len(ends) - 1, -1, -1), key=ends.__getitem__, reverse=True)


def by_earliest_start(ends: Sequence[int]) -> list[int]:
    """The order for a forward pass after a backward one. ends: counted from the finish back, so the greatest first."""
    return sorted(range(len(ends)), key=ends.__getitem__, reverse=True)


def justified(project: PackedProject, ends: list[int]) -> list[int]:
    """Forward-backward improvement: right, then left justification, repeated while that shortens the schedule."""
    finish = max(ends, default=0)
    while True:
        backward = serial(project, by_latest_end(ends), project.successors)
        forward = serial(project, by_earliest_start(backward), project.predecessors)
        if max(forward, default=0) >= finish:
            return ends
        ends, finish = forward, max(forward)


def priority_order(project: PackedProject, key: Sequence[int]) -> list[int]:
    """Activities by least key, each after its predecessors."""
    waits = [len(befores) for befores in project.predecessors]
    eligible = sorted(((key[one], one) for one, left in enumerate(waits) if not left), reverse=True)
    order: list[int] = []
    while eligible:
        one = eligible.pop()[1]
        order.append(one)
        for other in project.successors[one]:
            waits[other] -= 1
            if not waits[other]:
                eligible.append((key[other], other))
        eligible.sort(reverse=True)
    return order

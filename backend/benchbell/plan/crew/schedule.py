"""Make a schedule from an order, and squeeze it. A schedule here is a list of ends, by activity, from 0.

Time runs backward as well as forward: with `after` in place of `before` the same functions plan from the finish back,
and each list of ends is then counted from the finish.
"""

from collections.abc import Sequence

from benchbell.plan.crew.packed import Links, Packed


def serial(project: Packed, order: Sequence[int], before: Links) -> list[int]:
    """One after the other as soon as it fits, in gaps too; order: each after its befores.

    A stretch is tried from its end, so that one look at a full moment skips all that is before it.
    """
    used = [project.unused] * project.horizon
    minutes, needs, guard = project.minutes, project.needs, project.guard
    ends = [0] * len(minutes)
    for one in order:
        begin = 0
        for other in before[one]:
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


def parallel(project: Packed, key: Sequence[int]) -> list[int]:
    """Moment by moment whatever fits, the least key first; leaves no resource free that could be used."""
    minutes, needs, guard = project.minutes, project.needs, project.guard
    waits = [len(ones) for ones in project.before]
    ends = [0] * len(minutes)
    ready = sorted((one for one, left in enumerate(waits) if not left), key=key.__getitem__)
    running: list[tuple[int, int]] = []
    used, now = project.unused, 0
    while ready or running:
        later = []
        for one in ready:
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
            for other in project.after[one]:
                waits[other] -= 1
                if not waits[other]:
                    later.append(other)
        running = still
        ready = sorted(later, key=key.__getitem__)
    return ends


def by_latest_end(ends: Sequence[int]) -> list[int]:
    """Activities for planning backward: the last to end first, among equals the later in number."""
    return sorted(range(len(ends) - 1, -1, -1), key=ends.__getitem__, reverse=True)


def by_soonest_start(ends: Sequence[int]) -> list[int]:
    """Activities for planning forward, from ends counted from the finish: the last of them first."""
    return sorted(range(len(ends)), key=ends.__getitem__, reverse=True)


def squeezed(project: Packed, ends: list[int]) -> list[int]:
    """Push everything to the finish, then back to the beginning, as long as that gains time."""
    finish = max(ends, default=0)
    while True:
        back = serial(project, by_latest_end(ends), project.after)
        forth = serial(project, by_soonest_start(back), project.before)
        if max(forth, default=0) >= finish:
            return ends
        ends, finish = forth, max(forth)


def in_order(project: Packed, key: Sequence[int]) -> list[int]:
    """Activities by least key, each after its befores."""
    waits = [len(ones) for ones in project.before]
    ready = sorted(((key[one], one) for one, left in enumerate(waits) if not left), reverse=True)
    order: list[int] = []
    while ready:
        one = ready.pop()[1]
        order.append(one)
        for other in project.after[one]:
            waits[other] -= 1
            if not waits[other]:
                ready.append((key[other], other))
        ready.sort(reverse=True)
    return order

"""A finish that no schedule can beat: raise it as long as it can be refuted."""

from itertools import combinations

from benchbell.plan.crew.packed import Packed
from benchbell.plan.crew.project import Project


def bound_of(project: Project, packed: Packed) -> int:
    """The least finish that is not refuted; from the longest chain and each resource's work upward."""
    amounts = [project.activities[old].needs for old in packed.number]
    finish = max(packed.tail, default=0)
    for resource, capacity in enumerate(project.capacities):
        needs = [amount[resource] for amount in amounts]
        if any(needs):
            finish = max(finish, by_work(packed, needs, capacity))
    rivals = rivals_of(packed)
    while refuted(packed, rivals, finish):
        finish += 1
    return finish


def by_work(packed: Packed, needs: list[int], capacity: int) -> int:
    """The work of one resource between a soonest start and a least rest, for every pair of these."""
    rest = [tail - minutes for tail, minutes in zip(packed.tail, packed.minutes, strict=True)]
    using = sorted((one for one, need in enumerate(needs) if need), key=lambda one: -packed.head[one])
    most = 0
    for least in {rest[one] for one in using}:
        work = 0
        for one in using:
            if rest[one] >= least:
                work += needs[one] * packed.minutes[one]
                most = max(most, packed.head[one] - -work // capacity + least)
    return most


def rivals_of(packed: Packed) -> list[tuple[int, int]]:
    """Pairs that no links keep apart, and that need too much to run at once."""
    later: list[set[int]] = [set() for _ in packed.minutes]
    for one in reversed(range(len(later))):
        later[one].update(packed.after[one], *(later[other] for other in packed.after[one]))
    guard = packed.guard
    return [
        (one, other)
        for one, other in combinations(range(len(later)), 2)
        if other not in later[one] and (packed.unused + packed.needs[one] + packed.needs[other]) & guard
    ]


def refuted(packed: Packed, rivals: list[tuple[int, int]], finish: int) -> bool:
    """Whether windows of time, narrowed by links and rivals, leave some activity none if all is to end by then."""
    minutes, before, after = packed.minutes, packed.before, packed.after
    soonest = packed.head.copy()
    latest = [finish - tail for tail in packed.tail]
    moved = True
    while moved:
        moved = False
        for one, other in rivals:
            for a, b in ((one, other), (other, one)):
                if soonest[b] + minutes[b] > latest[a]:  # b cannot come first, so a does
                    if soonest[a] + minutes[a] > latest[b]:
                        return True
                    if soonest[b] < soonest[a] + minutes[a]:
                        soonest[b], moved = soonest[a] + minutes[a], True
                    if latest[a] > latest[b] - minutes[a]:
                        latest[a], moved = latest[b] - minutes[a], True
        if moved:
            for one in range(len(minutes)):
                soonest[one] = max([soonest[one], *(soonest[other] + minutes[other] for other in before[one])])
            for one in reversed(range(len(minutes))):
                latest[one] = min([latest[one], *(latest[other] - minutes[one] for other in after[one])])
        if any(least > most for least, most in zip(soonest, latest, strict=True)):
            return True
    return False

"""A lower bound on the finish of a project, and no schedule beats it.

The greatest of three: the longest chain (critical path), each resource's work between heads and tails (energy), and a
destructive bound that raises the finish while propagation of disjunctive pairs refutes it (Klein and Scholl 1999, from
memory).
"""

from itertools import combinations

from benchbell.plan.crew.packed_project import PackedProject
from benchbell.plan.crew.project import Project


def project_bound(project: Project, packed: PackedProject) -> int:
    """The least finish that is not refuted, in the project's units of time."""
    amounts = [project.activities[old].needs for old in packed.number]
    finish = max(packed.tail, default=0)
    for resource, capacity in enumerate(project.capacities):
        needs = [amount[resource] for amount in amounts]
        if any(needs):
            finish = max(finish, energy_bound(packed, needs, capacity))
    pairs = disjunctive_pairs(packed)
    while is_refuted(packed, pairs, finish):
        finish += 1
    return finish


def energy_bound(packed: PackedProject, needs: list[int], capacity: int) -> int:
    """The greatest sum of a head, the work of one resource after it, and a tail. needs: by activity, of the resource.

    Taken over all activities with at least this head and at least this rest (the tail without the activity itself).
    """
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


def disjunctive_pairs(packed: PackedProject) -> list[tuple[int, int]]:
    """Pairs of activities that precedence leaves unordered, but that together need more than the capacity."""
    later: list[set[int]] = [set() for _ in packed.minutes]
    for one in reversed(range(len(later))):
        later[one].update(packed.successors[one], *(later[other] for other in packed.successors[one]))
    guard = packed.guard
    return [
        (one, other)
        for one, other in combinations(range(len(later)), 2)
        if other not in later[one] and (packed.unused + packed.needs[one] + packed.needs[other]) & guard
    ]


def is_refuted(packed: PackedProject, pairs: list[tuple[int, int]], finish: int) -> bool:
    """True if some start window becomes empty when all activities are to end by `finish`.

    Start windows [earliest, latest] are narrowed until nothing changes: if one of a pair cannot be before the other,
    it must be after it; then precedence passes that on.
    """
    minutes, predecessors, successors = packed.minutes, packed.predecessors, packed.successors
    earliest = packed.head.copy()
    latest = [finish - tail for tail in packed.tail]
    moved = True
    while moved:
        moved = False
        for one, other in pairs:
            for a, b in ((one, other), (other, one)):
                if earliest[b] + minutes[b] > latest[a]:  # b cannot be before a, so a must be before b
                    if earliest[a] + minutes[a] > latest[b]:
                        return True
                    if earliest[b] < earliest[a] + minutes[a]:
                        earliest[b], moved = earliest[a] + minutes[a], True
                    if latest[a] > latest[b] - minutes[a]:
                        latest[a], moved = latest[b] - minutes[a], True
        if moved:
            for one in range(len(minutes)):
                earliest[one] = max([earliest[one], *(earliest[n] + minutes[n] for n in predecessors[one])])
            for one in reversed(range(len(minutes))):
                latest[one] = min([latest[one], *(latest[n] - minutes[one] for n in successors[one])])
        if any(least > most for least, most in zip(earliest, latest, strict=True)):
            return True
    return False

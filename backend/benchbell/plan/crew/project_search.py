"""A genetic algorithm for the RCPSP: a small population of activity lists, each improved by justification.

After Hartmann 1998 (activity lists, crossover) and Valls, Ballestín and Quintanilla 2008 (justification in a hybrid
genetic algorithm), both from memory. Half of the first population comes from the serial, half from the parallel scheme,
with randomly disturbed LFT priorities. A child as good as the worst replaces it, so that the newest of equals stay.
"""

from collections.abc import Iterator

from msgspec import Struct

from benchbell.plan.crew.packed_project import PackedProject, pack
from benchbell.plan.crew.project import Project, ProjectSchedule
from benchbell.plan.crew.project_bound import project_bound
from benchbell.plan.crew.project_generation import by_earliest_start, justified, parallel, priority_order, serial
from benchbell.plan.search.random import Random

MEMBERS = 30
"""Size of the population. Measured on 30 to 120 activities: better than 12 or 20, and than 50 while time is short."""

LEAST_NOISE, MOST_NOISE = 10, 40
"""By how much the priorities of the first population are disturbed, in percent of the longest chain."""

MOST_REPEATS = 200
KEPT = 2
"""After MOST_REPEATS schedules that were known, all but the KEPT best are replaced by new samples."""

MOST_MOVED = 5
"""How often an order that was tried before is mutated, until it is a new one."""

MOST_KNOWN = 50_000
"""Orders and schedules remembered; beyond that all are forgotten, so that memory stays bounded."""


class Member(Struct, frozen=True):
    """A schedule in the population: its finish, its ends by activity, and its activities by start."""

    finish: int
    ends: list[int]
    order: list[int]


def search_project(project: Project, random: Random) -> Iterator[ProjectSchedule]:
    """The best schedule so far, once for each schedule tried; ends when the best is proved optimal.

    Raises Refused on a precedence cycle, or a need above the capacity.
    """
    packed = pack(project)
    bound = project_bound(project, packed)
    best: ProjectSchedule | None = None
    for member in members(packed, random):
        if best is None or member.finish < best.finish:
            best = unpacked(packed, member, bound)
        yield best
        if best.finish <= bound:
            return


def unpacked(project: PackedProject, member: Member, bound: int) -> ProjectSchedule:
    """The schedule under the activities' own numbers."""
    end = [0] * len(member.ends)
    start = end.copy()
    for new, old in enumerate(project.number):
        end[old] = member.ends[new]
        start[old] = end[old] - project.minutes[new]
    return ProjectSchedule(tuple(start), tuple(end), member.finish, bound)


def members(project: PackedProject, random: Random) -> Iterator[Member]:
    """Schedules without end: two by the undisturbed LFT rule, then samples, then children of the population."""
    lft = [-tail for tail in project.tail]
    yield (first := justified_member(project, by_serial(project, lft)))
    yield (second := justified_member(project, parallel(project, lft)))
    population = sorted([first, second], key=lambda member: member.finish)
    known: set[tuple[int, ...]] = set()
    repeats = 0
    while True:
        is_small = len(population) < MEMBERS
        if is_small:
            member = sampled(project, random)
        else:
            order = crossed(project, population, random)
            repeats += mutated_until_new(project, order, known, random)
            member = backward_forward(project, order)
        yield member
        ends = tuple(member.ends)
        if ends in known:
            repeats += 1
            if repeats > MOST_REPEATS:
                population, repeats = population[:KEPT], 0
        if is_small or ends not in known:
            insert(population, member)
        if len(known) > MOST_KNOWN:
            known.clear()
        known.add(ends)


def insert(population: list[Member], member: Member) -> None:
    """Put the member before the first that is no better; the worst goes if there are more than MEMBERS."""
    place = next((n for n, other in enumerate(population) if other.finish >= member.finish), len(population))
    population.insert(place, member)
    del population[MEMBERS:]


def mutated_until_new(project: PackedProject, order: list[int], known: set[tuple[int, ...]], random: Random) -> int:
    """Mutate an order that was tried before until it is new, at most MOST_MOVED times; gives how often it was."""
    mutations = 0
    while tuple(order) in known and mutations < MOST_MOVED:
        mutations += 1
        for _ in range(2):
            mutate(project, order, random)
    known.add(tuple(order))
    return mutations


def member_of(project: PackedProject, ends: list[int]) -> Member:
    """A schedule as a member."""
    start = [end - minutes for end, minutes in zip(ends, project.minutes, strict=True)]
    return Member(max(ends, default=0), ends, sorted(range(len(ends)), key=start.__getitem__))


def justified_member(project: PackedProject, ends: list[int]) -> Member:
    """A schedule, justified, as a member."""
    return member_of(project, justified(project, ends))


def by_serial(project: PackedProject, key: list[int]) -> list[int]:
    """Serial generation by least key."""
    return serial(project, priority_order(project, key), project.predecessors)


def sampled(project: PackedProject, random: Random) -> Member:
    """A schedule by randomly disturbed LFT priorities, from the parallel or the serial scheme."""
    spread = max(project.tail, default=0) * (LEAST_NOISE + random.below(MOST_NOISE - LEAST_NOISE + 1)) // 100
    key = [random.around(spread) - tail for tail in project.tail]
    return justified_member(project, parallel(project, key) if random.below(2) else by_serial(project, key))


def crossed(project: PackedProject, population: list[Member], random: Random) -> list[int]:
    """Two-point crossover: the beginning of one order, some activities in the order of another, the rest as in the one.

    Sometimes with up to four mutations; always when both parents are the same.
    """
    count = len(project.minutes)
    one, other = min(random.below(MEMBERS), random.below(MEMBERS)), random.below(MEMBERS)
    a, b = population[one].order, population[other].order
    order = a[: random.below(count)]
    have = set(order)
    order += [x for x in b if x not in have][: 1 + random.below(count)]
    have = set(order)
    order += [x for x in a if x not in have]
    if one == other or random.below(2):
        for _ in range(1 + random.below(4)):
            mutate(project, order, random)
    return order


def backward_forward(project: PackedProject, order: list[int]) -> Member:
    """The order generated backward from its end, then justified to the left."""
    backward = serial(project, order[::-1], project.successors)
    return member_of(project, serial(project, by_earliest_start(backward), project.predecessors))


def mutate(project: PackedProject, order: list[int], random: Random) -> None:
    """Move one activity of the order, in place, to somewhere between its predecessors and its successors."""
    at = random.below(len(order))
    one = order[at]
    least = max((order.index(x) for x in project.predecessors[one]), default=-1) + 1
    most = min((order.index(x) for x in project.successors[one]), default=len(order)) - 1
    order.pop(at)
    order.insert(least + random.below(most - least + 1), one)

"""Look for a schedule with the least finish, for as long as one likes: a small population of squeezed schedules.

Thirty schedules, half of them sampled moment by moment. Two are recombined: a stretch of one's order is taken up in
the order of the other. What is as good as the worst comes in at the front, so that the newest of equals stays.
"""

from collections.abc import Iterator

from msgspec import Struct

from benchbell.plan.chance import Chance
from benchbell.plan.crew.bound import bound_of
from benchbell.plan.crew.packed import Packed, packed
from benchbell.plan.crew.project import Project, Schedule
from benchbell.plan.crew.schedule import in_order, parallel, serial, squeezed

MEMBERS = 30
"""Measured on 30 to 120 activities: better than 12 or 20, and than 50 while there is little time."""

LEAST_NOISE, MOST_NOISE = 10, 40
"""Percent of the longest chain by which keys are shaken when schedules are sampled."""

MOST_REPEATS = 200
KEPT = 2


class Member(Struct, frozen=True):
    """A schedule in the population: its finish, its ends, and its activities by start."""

    finish: int
    ends: list[int]
    order: list[int]


def search(project: Project, chance: Chance) -> Iterator[Schedule]:
    """The best schedule so far, after each one looked at; ends when it is proved to be the best there is.

    Raises Refused when activities wait for each other in a circle, or one needs more than there is.
    """
    ready = packed(project)
    bound = bound_of(project, ready)
    best: Schedule | None = None
    for member in members(ready, chance):
        if best is None or member.finish < best.finish:
            best = unpacked(ready, member, bound)
        yield best
        if best.finish <= bound:
            return


def unpacked(project: Packed, member: Member, bound: int) -> Schedule:
    """The schedule under the activities' own numbers."""
    end = [0] * len(member.ends)
    start = end.copy()
    for new, old in enumerate(project.number):
        end[old] = member.ends[new]
        start[old] = end[old] - project.minutes[new]
    return Schedule(tuple(start), tuple(end), member.finish, bound)


def members(project: Packed, chance: Chance) -> Iterator[Member]:
    """Schedules without end: first sampled ones, then children of the best."""
    least = [-tail for tail in project.tail]
    yield (first := member_of(project, squeezed(project, serial(project, in_order(project, least), project.before))))
    yield (second := member_of(project, squeezed(project, parallel(project, least))))
    population = sorted([first, second], key=lambda member: member.finish)
    seen: set[tuple[int, ...]] = set()
    repeats = 0
    while True:
        member = sampled(project, chance) if len(population) < MEMBERS else child(project, population, chance)
        yield member
        known = tuple(member.ends)
        if known in seen:
            repeats += 1
            if repeats > MOST_REPEATS:
                population, repeats = population[:KEPT], 0
            if len(population) >= MEMBERS:
                continue
        seen.add(known)
        place = next((n for n, other in enumerate(population) if other.finish >= member.finish), len(population))
        population.insert(place, member)
        del population[MEMBERS:]


def member_of(project: Packed, ends: list[int]) -> Member:
    """A schedule with its order."""
    start = [end - minutes for end, minutes in zip(ends, project.minutes, strict=True)]
    return Member(max(ends, default=0), ends, sorted(range(len(ends)), key=start.__getitem__))


def sampled(project: Packed, chance: Chance) -> Member:
    """A schedule from shaken keys, moment by moment or one after the other."""
    spread = max(project.tail, default=0) * (LEAST_NOISE + chance.below(MOST_NOISE - LEAST_NOISE + 1)) // 100
    key = [chance.around(spread) - tail for tail in project.tail]
    if chance.below(2):
        return member_of(project, squeezed(project, parallel(project, key)))
    return member_of(project, squeezed(project, serial(project, in_order(project, key), project.before)))


def child(project: Packed, population: list[Member], chance: Chance) -> Member:
    """A schedule from one's order with a stretch in another's, now and then with some activities moved."""
    count = len(project.minutes)
    one, other = sorted((chance.below(MEMBERS), chance.below(MEMBERS)))[0], chance.below(MEMBERS)
    a, b = population[one].order, population[other].order
    begin = chance.below(count)
    width = 1 + chance.below(count)
    order = a[:begin]
    have = set(order)
    order += [x for x in b if x not in have][:width]
    have = set(order)
    order += [x for x in a if x not in have]
    if one == other or chance.below(2):
        for _ in range(1 + chance.below(4)):
            shift(project, order, chance)
    return member_of(project, squeezed_or_same(project, order))


def squeezed_or_same(project: Packed, order: list[int]) -> list[int]:
    """The schedule of an order, squeezed."""
    return squeezed(project, serial(project, order, project.before))


def shift(project: Packed, order: list[int], chance: Chance) -> None:
    """Move one activity as far as links let it."""
    at = chance.below(len(order))
    one = order[at]
    befores, afters = project.before[one], project.after[one]
    least = max((order.index(x) for x in befores), default=-1) + 1
    most = min((order.index(x) for x in afters), default=len(order)) - 1
    order.pop(at)
    order.insert(least + chance.below(most - least + 1), one)

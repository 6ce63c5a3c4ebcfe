"""Look for a schedule with the least finish, for as long as one likes: a small population of squeezed schedules.

Thirty schedules, half of them sampled moment by moment. Two are recombined: a stretch of one's order is taken up in
the order of the other, then all is planned from the finish back and once more forward. What is as good as the worst
comes in at the front, so that the newest of equals stays.
"""

from collections.abc import Iterator

from msgspec import Struct

from benchbell.plan.crew.bound import bound_of
from benchbell.plan.crew.packed import Packed, packed
from benchbell.plan.crew.project import Project, Schedule
from benchbell.plan.crew.schedule import by_soonest_start, in_order, parallel, serial, squeezed
from benchbell.plan.search.random import Random

MEMBERS = 30
"""Measured on 30 to 120 activities: better than 12 or 20, and than 50 while there is little time."""

LEAST_NOISE, MOST_NOISE = 10, 40
"""Percent of the longest chain by which keys are shaken when schedules are sampled."""

MOST_REPEATS = 200
KEPT = 2
"""After so many repeats only the best stay, and the rest is sampled anew."""

MOST_MOVED = 5
FORGET = 50_000
"""Orders and schedules remembered; then all are forgotten, so that memory has an end."""


class Member(Struct, frozen=True):
    """A schedule in the population: its finish, its ends, and its activities by start."""

    finish: int
    ends: list[int]
    order: list[int]


def search(project: Project, chance: Random) -> Iterator[Schedule]:
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


def members(project: Packed, chance: Random) -> Iterator[Member]:
    """Schedules without end: first sampled ones, then children of the best."""
    least = [-tail for tail in project.tail]
    yield (first := member_of(project, squeezed(project, serial(project, in_order(project, least), project.before))))
    yield (second := member_of(project, squeezed(project, parallel(project, least))))
    population = sorted([first, second], key=lambda member: member.finish)
    seen: set[tuple[int, ...]] = set()
    repeats = 0
    while True:
        is_small = len(population) < MEMBERS
        if is_small:
            member = sampled(project, chance)
        else:
            order = child(project, population, chance)
            repeats += make_new(project, order, seen, chance)
            member = there_and_back(project, order)
        yield member
        known = tuple(member.ends)
        if known in seen:
            repeats += 1
            if repeats > MOST_REPEATS:
                population, repeats = population[:KEPT], 0
        if is_small or known not in seen:
            place = next((n for n, other in enumerate(population) if other.finish >= member.finish), len(population))
            population.insert(place, member)
            del population[MEMBERS:]
        if len(seen) > FORGET:
            seen.clear()
        seen.add(known)


def make_new(project: Packed, order: list[int], seen: set[tuple[int, ...]], chance: Random) -> int:
    """Move activities of an order that was tried before until it is a new one; how often that was needed."""
    moved = 0
    while tuple(order) in seen and moved < MOST_MOVED:
        moved += 1
        for _ in range(2):
            shift(project, order, chance)
    seen.add(tuple(order))
    return moved


def member_of(project: Packed, ends: list[int]) -> Member:
    """A schedule with its order."""
    start = [end - minutes for end, minutes in zip(ends, project.minutes, strict=True)]
    return Member(max(ends, default=0), ends, sorted(range(len(ends)), key=start.__getitem__))


def sampled(project: Packed, chance: Random) -> Member:
    """A schedule from shaken keys, moment by moment or one after the other."""
    spread = max(project.tail, default=0) * (LEAST_NOISE + chance.below(MOST_NOISE - LEAST_NOISE + 1)) // 100
    key = [chance.around(spread) - tail for tail in project.tail]
    if chance.below(2):
        return member_of(project, squeezed(project, parallel(project, key)))
    return member_of(project, squeezed(project, serial(project, in_order(project, key), project.before)))


def child(project: Packed, population: list[Member], chance: Random) -> list[int]:
    """One's order with a stretch in another's, now and then with some activities moved."""
    count = len(project.minutes)
    one, other = min(chance.below(MEMBERS), chance.below(MEMBERS)), chance.below(MEMBERS)
    a, b = population[one].order, population[other].order
    order = a[: chance.below(count)]
    have = set(order)
    order += [x for x in b if x not in have][: 1 + chance.below(count)]
    have = set(order)
    order += [x for x in a if x not in have]
    if one == other or chance.below(2):
        for _ in range(1 + chance.below(4)):
            shift(project, order, chance)
    return order


def there_and_back(project: Packed, order: list[int]) -> Member:
    """The schedule that comes of an order taken from its end, pushed back to the beginning."""
    back = serial(project, order[::-1], project.after)
    return member_of(project, serial(project, by_soonest_start(back), project.before))


def shift(project: Packed, order: list[int], chance: Random) -> None:
    """Move one activity as far as links let it."""
    at = chance.below(len(order))
    one = order[at]
    befores, afters = project.before[one], project.after[one]
    least = max((order.index(x) for x in befores), default=-1) + 1
    most = min((order.index(x) for x in afters), default=len(order)) - 1
    order.pop(at)
    order.insert(least + chance.below(most - least + 1), one)

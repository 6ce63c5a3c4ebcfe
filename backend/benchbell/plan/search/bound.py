"""How soon a plan can finish at best: a finish is refuted, halving what is in doubt, until none can be."""

from heapq import heappop, heappush

from benchbell.plan.model.compiled_problem import NONE, CompiledProblem
from benchbell.plan.model.hours import FAR, latest, open_minutes, soonest


def earliest_starts(shop: CompiledProblem) -> list[int]:
    """By operation, no start can be sooner: what comes before, waits and hours, as if hands and stations were many."""
    start = shop.ready.copy()
    for i in shop.order:
        start[i] = begin = soonest(shop.hours, start[i], shop.minutes[i], shop.breakable[i])
        end = shop.ended(i, begin)
        for j, gap in shop.afters[i]:
            if start[j] < end + gap:
                start[j] = end + gap
    return start


def latest_starts(shop: CompiledProblem, by: list[int]) -> list[int]:
    """By operation, the latest start with which all can be done by then, runs included; hours known, hands not."""
    hours, minutes, breakable, runs, afters = shop.hours, shop.minutes, shop.breakable, shop.runs, shop.afters
    start = [0] * len(by)
    for i in reversed(shop.order):
        end = by[i] - runs[i]
        for j, gap in afters[i]:
            if start[j] - gap < end:
                end = start[j] - gap
        start[i] = latest(hours, end, minutes[i], breakable[i])
    return start


def lower_bound(shop: CompiledProblem, most: int, hands: int = 1) -> int:
    """No plan finishes sooner than this. most: the finish of a plan that is known, or any time by which one could."""
    heads = earliest_starts(shop)
    setting = least_setting(shop)
    low = max((shop.ended(i, begin) + shop.runs[i] for i, begin in enumerate(heads)), default=shop.start)
    high = max(most, low)
    while low < high:
        middle = (low + high) // 2
        if refuted(shop, heads, setting, middle, hands):
            low = middle + 1
        else:
            high = middle
    return low


def least_setting(shop: CompiledProblem) -> int:
    """Minutes of setting up that no order saves: each setup but the standing one is come to once, the shortest way."""
    total = 0
    for place, rows in enumerate(shop.change):
        needed = {shop.setup[i] for i, at in enumerate(shop.station) if at == place} - {NONE, shop.standing[place]}
        total += sum(min(row[to] for n, row in enumerate(rows) if n != to) for to in needed)
    return total


def refuted(shop: CompiledProblem, heads: list[int], setting: int, finish: int, hands: int) -> bool:
    """Whether one pair of hands that may break off anything cannot be done by `finish`: soonest deadline first.

    Several pairs are at best as quick as one that has so many minutes in each.
    """
    hours = shop.hours
    tails = latest_starts(shop, [finish] * len(heads))
    if any(tail < head for head, tail in zip(heads, tails, strict=True)):
        return True
    jobs = [
        (hands * open_minutes(hours, head), hands * open_minutes(hours, shop.ended(i, tail)), shop.minutes[i])
        for i, (head, tail) in enumerate(zip(heads, tails, strict=True))
    ]
    jobs.append((0, hands * open_minutes(hours, finish), setting))
    jobs.sort()
    now, n = 0, 0
    waiting: list[tuple[int, int]] = []
    while n < len(jobs) or waiting:
        if not waiting:
            now = max(now, jobs[n][0])
        while n < len(jobs) and jobs[n][0] <= now:
            heappush(waiting, jobs[n][1:])
            n += 1
        due, left = heappop(waiting)
        done = min(left, (jobs[n][0] if n < len(jobs) else FAR) - now)
        now += done
        if done < left:
            heappush(waiting, (due, left - done))
        if now > due:
            return True
    return False


def least_changes(shop: CompiledProblem) -> int:
    """Setups that are come to in any order: all but those that stand."""
    wanted = {(at, setup) for at, setup in zip(shop.station, shop.setup, strict=True) if at >= 0 and setup >= 0}
    return sum(shop.standing[at] != setup for at, setup in wanted)

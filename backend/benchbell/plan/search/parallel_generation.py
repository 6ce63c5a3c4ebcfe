"""One worker walks through the hours and takes up, again and again, what has most value at that moment."""

from bisect import insort

from msgspec import Struct

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR, Hours, end_of
from benchbell.plan.search.max_lags import Waits

IDLE_COST = 4
"""Value lost by a minute without work; measured on generated shops, where 2 to 8 made little difference."""


class Priorities(Struct, frozen=True):
    """How to choose: an operation's key, less `saving` for each minute of setting up; idle for at most `wait`."""

    keys: list[int]
    saving: int
    wait: int


class Walk(Struct):
    """What came of it. start, end: by operation, attended; order: as taken up; late: minutes past `latest`, in all.

    left: how many operations could not be placed at all, for want of clamps or of hours.
    """

    order: list[int]
    start: list[int]
    end: list[int]
    finish: int
    changes: int
    late: int
    left: int


def walk(
    shop: CompiledProblem, hours: Hours, priorities: Priorities, latest: list[int], most_late: int = FAR
) -> Walk | None:
    """The plan that such choices make; None as soon as its lateness is over `most_late`."""
    keys, saving, wait_most = priorities.keys, priorities.saving, priorities.wait
    minutes, needed, runs, station, setup = shop.minutes, shop.needed, shop.runs, shop.station, shop.setup
    takes, gives, asks, change, afters = shop.takes, shop.gives, shop.asks, shop.change, shop.afters
    opens, closes = hours.opens, hours.closes
    count = len(keys)
    by_rank = sorted(range(count), key=keys.__getitem__, reverse=True)
    rank = [0] * count
    for r, i in enumerate(by_rank):
        rank[i] = r
    waits = [len(befores) for befores in shop.befores]
    ranks = sorted(rank[i] for i in range(count) if not waits[i])
    begin = shop.ready.copy()
    standing, busy, free = shop.standing.copy(), [shop.start] * len(shop.standing), shop.free
    order: list[int] = []
    start, end = [0] * count, [0] * count
    finish, changes, late = shop.start, 0, 0
    limited = Waits(shop, hours) if shop.limits or shop.by else None
    window = 0
    now, close = (opens[0], closes[0]) if opens else (FAR, FAR)
    while ranks and now < FAR:
        chosen, value, wake, at, best = -1, -FAR, FAR, 0, -1
        for n, r in enumerate(ranks):
            i = by_rank[r]
            worth = keys[i]
            if worth <= value:
                break
            ask = asks[i]
            if ask and (free - takes[i]) & ask != ask:
                continue
            place = station[i]
            if place < 0:
                setting, begins = 0, now
            else:
                setting = change[place][standing[place]][setup[i]]
                begins = busy[place]
                if begins < now:
                    begins = now
                begins += setting
            if begins < begin[i]:
                begins = begin[i]
            if begins + needed[i] > close:
                continue
            idle = begins - setting - now
            if idle > wait_most:
                if idle < wake:
                    wake = idle
                continue
            worth -= saving * setting + IDLE_COST * idle
            if worth <= value:
                continue
            if limited:
                pause, strain = limited.judge(i, begins, now, idle, begin, waits)
                if pause:
                    if pause < wake:
                        wake = pause
                    continue
                worth -= strain
                if worth <= value:
                    continue
            chosen, value, at, best = n, worth, begins, i
        if chosen < 0:
            now += wake
            if now >= close:
                window += 1
                if window == len(opens):
                    break
                now, close = opens[window], closes[window]
            continue
        i = best
        now = at + minutes[i]
        if now > close:
            now = end_of(hours, at, minutes[i])
            if now == FAR:
                break
            while closes[window] < now:
                window += 1
            close = closes[window]
        del ranks[chosen]
        order.append(i)
        start[i], end[i] = at, now
        free += gives[i] - takes[i]
        place = station[i]
        over = now + runs[i]
        if place >= 0:
            busy[place] = over
            if setup[i] >= 0 and standing[place] != setup[i]:
                standing[place] = setup[i]
                changes += 1
        if over > finish:
            finish = over
        if at > latest[i]:
            late += at - latest[i]
            if late > most_late:
                return None
        if limited:
            limited.place(i, now)
        for j, gap in afters[i]:
            if begin[j] < now + gap:
                begin[j] = now + gap
            waits[j] -= 1
            if not waits[j]:
                insort(ranks, rank[j])
    return Walk(order, start, end, finish, changes, late, count - len(order))

"""How much later an operation may begin with nothing getting worse, the order kept; and what happens beyond that."""

from benchbell.plan.dispatch import Walk
from benchbell.plan.hours import FAR, latest
from benchbell.plan.model import Plan, Problem
from benchbell.plan.timing import settings, timed
from benchbell.plan.wiring import Shop, wired


def slack(problem: Problem, plan: Plan) -> dict[str, int]:
    """By operation, minutes by which it alone may begin later without a later finish, more overrun or more late."""
    shop = wired(problem)
    seen = walked(shop, plan)
    last = latest_in_order(shop, seen)
    return {shop.ids[i]: max(0, last[i] - seen.start[i]) for i in seen.order}


def cliff(problem: Problem, plan: Plan, op: str, minutes: int) -> int:
    """The finish if the operation begins so many minutes later than planned, all others in the order of the plan."""
    shop = wired(problem)
    seen = walked(shop, plan)
    i = shop.ids.index(op)
    starts = dict(enumerate(seen.start)) | {i: seen.start[i] + minutes}
    later = timed(shop, seen.order, starts)
    return later.finish if later else FAR


def walked(shop: Shop, plan: Plan) -> Walk:
    """A plan as a walk."""
    number = {id: n for n, id in enumerate(shop.ids)}
    start, end = [0] * len(shop.ids), [0] * len(shop.ids)
    for placed in plan.placed:
        start[number[placed.op]], end[number[placed.op]] = placed.start, placed.end
    return Walk([number[p.op] for p in plan.placed], start, end, plan.finish, plan.changes, 0, 0)


def latest_in_order(shop: Shop, seen: Walk) -> list[int]:
    """Latest starts, from the last operation back: before the next on hand and station, what follows, what is due."""
    set_up = settings(shop, seen.order)
    last = seen.start.copy()
    hand, station = FAR, [FAR] * len(shop.standing)
    done = done_by(shop, seen)
    begins = begin_by(shop, seen)
    for i in reversed(seen.order):
        place = shop.station[i]
        by = min(hand, done[i] - shop.runs[i])
        if place >= 0:
            by = min(by, station[place] - shop.runs[i])
        for j, gap in shop.afters[i]:
            by = min(by, last[j] - gap)
        last[i] = max(seen.start[i], latest_start(shop, i, set_up[i], by, begins.get(i, FAR)))
        hand = last[i] - set_up[i]
        if place >= 0:
            station[place] = hand
    return last


def latest_start(shop: Shop, i: int, setting: int, by: int, begin_by: int) -> int:
    """The latest start with its setting up right before it, done by then and begun by then."""
    hours = shop.hours
    if not shop.breakable[i]:
        return setting + latest(hours, min(by, begin_by + shop.minutes[i]), setting + shop.minutes[i], False)
    start = min(latest(hours, by, shop.minutes[i], True), begin_by)
    return setting + latest(hours, start + 1, setting + 1, False)


def done_by(shop: Shop, seen: Walk) -> list[int]:
    """By operation, when it must be done, run included, so that neither the finish nor its piece gets later."""
    by = [seen.finish] * len(shop.ids)
    for piece in shop.pieces:
        done = max(seen.end[i] + shop.runs[i] for i in piece.ops)
        for i in piece.ops:
            by[i] = min(seen.finish, max(done, piece.due))
    return by


def begin_by(shop: Shop, seen: Walk) -> dict[int, int]:
    """By operation with a limit, when it must begin so that the limit is passed no further than it is."""
    by = {i: max(seen.start[i], limit) for i, limit in shop.by.items()}
    for limit in shop.limits:
        most = max(seen.start[limit.after], seen.end[limit.before] + limit.most)
        by[limit.after] = min(most, by.get(limit.after, FAR))
    return by

"""Later where that is better: what starts a wait with a limit need not be done long before what ends it can begin."""

from collections.abc import Iterable

from benchbell.plan.model.compiled_problem import CompiledProblem, Limit
from benchbell.plan.model.hours import FAR, latest
from benchbell.plan.search.parallel_generation import Walk
from benchbell.plan.search.serial_generation import settings, worth


def eased(shop: CompiledProblem, seen: Walk) -> Walk:
    """The plan with less overrun, if its order allows it, and nothing else worse."""
    if not shop.limits or not worth(shop, seen)[1]:
        return seen
    place = {i: n for n, i in enumerate(seen.order)}
    for limit in sorted(passed(shop, seen), key=lambda x: -place[x.before]):
        starts = latest_in_order(shop, seen, {}, place[limit.before], place[limit.after])
        later = Walk(seen.order, starts, ends(shop, seen, starts), seen.finish, seen.changes, seen.late, 0)
        if worth(shop, later) <= worth(shop, seen):
            seen = later
    return seen


def passed(shop: CompiledProblem, seen: Walk) -> Iterable[Limit]:
    """Limits that are passed."""
    return (x for x in shop.limits if seen.start[x.after] > seen.end[x.before] + x.most)


def ends(shop: CompiledProblem, seen: Walk, starts: list[int]) -> list[int]:
    """By operation, when it ends with these starts."""
    return [
        end if start == was else shop.ended(i, start)
        for i, (was, start, end) in enumerate(zip(seen.start, starts, seen.end, strict=True))
    ]


def latest_in_order(shop: CompiledProblem, seen: Walk, begin_by: dict[int, int], first: int, behind: int) -> list[int]:
    """Starts, with those from place `first` to before `behind` as late as the others and what is due let them.

    begin_by: starts that some of them may not pass.
    """
    set_up = settings(shop, seen.order)
    starts = seen.start.copy()
    due = done_by(shop, seen)
    hand, station = FAR, [FAR] * len(shop.standing)
    for n in range(len(seen.order) - 1, first - 1, -1):
        i = seen.order[n]
        place = shop.station[i]
        if n < behind:
            by = min(hand, due[i] - shop.runs[i], *(starts[j] - gap for j, gap in shop.afters[i]))
            if place >= 0:
                by = min(by, station[place] - shop.runs[i])
            starts[i] = max(starts[i], latest_start(shop, i, set_up[i], by, begin_by.get(i, FAR)))
        hand = starts[i] - set_up[i]
        if place >= 0:
            station[place] = hand
    return starts


def latest_start(shop: CompiledProblem, i: int, setting: int, by: int, begin_by: int) -> int:
    """The latest start with its setting up right before it, done by then and begun by then."""
    hours = shop.hours
    if not shop.breakable[i]:
        return setting + latest(hours, min(by, begin_by + shop.minutes[i]), setting + shop.minutes[i], False)
    start = min(latest(hours, by, shop.minutes[i], True), begin_by)
    return setting + latest(hours, start + 1, setting + 1, False)


def done_by(shop: CompiledProblem, seen: Walk) -> list[int]:
    """By operation, when it must be done, run included, so that neither the finish nor its piece gets later."""
    by = [seen.finish] * len(shop.ids)
    for piece in shop.pieces:
        done = max(seen.end[i] + shop.runs[i] for i in piece.ops)
        for i in piece.ops:
            by[i] = min(seen.finish, max(done, piece.due))
    return by

"""Why an operation does not start earlier: the one thing without which it would. Times in minutes.

All else in the plan stays where it is. What keeps it is said only if the operation could start earlier without that
one thing; where two keep it alike, or the hands are busy, there is nothing to say.
"""

from bisect import bisect_right
from collections.abc import Iterator, Mapping

from benchbell.plan.model.hands import able_hands
from benchbell.plan.model.hours import earliest_start
from benchbell.plan.model.problem import Link, Placed
from benchbell.plan.report.clamp_waits import ClampWait
from benchbell.plan.report.craft_keeps import kept_by_craft
from benchbell.plan.report.timeline import Timeline
from benchbell.plan.report.what_keeps import Kept

WORTH_TELLING = 15
"""Minutes without work, before closing time or while a station is in use, that are worth a word. Common practice, no
source."""


def kept(one: Placed, t: Timeline, clamps: ClampWait | None) -> Kept | None:
    """What keeps the operation from starting earlier; None where nothing does, or more than one thing.

    Nor does anything keep what takes nobody's time, such as glue that has set without clamps.
    clamps: what it waits for them, if it does.
    """
    if one.setup == one.end:
        return None
    bounds = dict(bounds_of(one, t))
    if clamps:
        bounds["clamps"] = clamps.until - (one.start - one.setup)
    soonest = fitting(one, t, max(bounds.values()))
    if soonest < one.setup:
        return kept_for_what_follows(one, t, soonest) or kept_by_craft(one, t, soonest)
    return (
        kept_by_clamps(one, t, bounds, clamps)
        or kept_by_waits(one, t, bounds)
        or kept_by_clock(one, t, bounds)
        or kept_by_station(one, t, bounds)
        or kept_while_away(one, t, max(bounds.values()))
        or kept_by_closing(one, t, max(bounds.values()))
    )


def bounds_of(one: Placed, t: Timeline) -> Iterator[tuple[str, int]]:
    """When the operation may be taken up by each rule alone, clamps and hours left out."""
    op, setting = t.ops[one.op], one.start - one.setup
    yield "hands", max(t.free_since[one.op], t.problem.start, *others_begun(one, t))
    if t.coming[one.op]:
        yield "wait", max(t.at[link.before].free + link.lag for link in t.coming[one.op]) - setting
    if held := [t.at[hold.take].end for hold in t.gives[one.op] if hold.take and hold.take != one.op]:
        yield "held", max(held) - setting
    if op.ready > t.problem.start:
        yield "clock", op.ready - setting
    if before := t.station_before.get(one.op):
        yield "station", t.at[before].free


def others_begun(one: Placed, t: Timeline) -> Iterator[int]:
    """When begun work before it in the plan is taken up: no other is, before that."""
    for op in t.begun:
        if t.rank[op] < t.rank[one.op]:
            yield t.at[op].setup


def fitting(one: Placed, t: Timeline, at: int) -> int:
    """The first minute, not before `at`, at which it may be taken up by the hours of the hand that does it."""
    return earliest_start(t.hours_of(one), at, needed_at_once(one, t), False)


def needed_at_once(one: Placed, t: Timeline) -> int:
    """Minutes, setting up included, that must fit in before closing time."""
    op = t.ops[one.op]
    return one.start - one.setup + (min(op.minutes, 1) if op.breakable else op.minutes)


def sooner(one: Placed, t: Timeline, bounds: Mapping[str, int], without: str, **instead: int) -> int:
    """When it could be taken up without one of the bounds; instead: others in the place of some."""
    rest = {name: at for name, at in bounds.items() if name != without} | instead
    return fitting(one, t, max(rest.values()))


def kept_by_clamps(one: Placed, t: Timeline, bounds: Mapping[str, int], clamps: ClampWait | None) -> Kept | None:
    """It waits for clamps or a fixture.

    Where the same hands give these back just before, it could change places with that.
    """
    if clamps is None:
        return None
    found = Kept("clamps", clamps.until, (clamps.giver,), clamps.kinds)
    others = clamps.others - (one.start - one.setup)
    if t.hands_before[one.op] != clamps.giver:
        return found if sooner(one, t, bounds, "", clamps=others) < one.setup else None
    free = max(t.free_since[clamps.giver], t.problem.start, *others_begun(one, t))
    return found if sooner(one, t, bounds, "", clamps=others, hands=free) <= t.at[clamps.giver].setup else None


def kept_by_waits(one: Placed, t: Timeline, bounds: Mapping[str, int]) -> Kept | None:
    """It waits for what comes before it: the fewest without which it could start sooner, those that are over last."""
    ends = [(t.at[link.before].free + link.lag, link) for link in t.coming[one.op]]
    moments = sorted({at for at, _ in ends}, reverse=True)
    for n, at in enumerate(moments):
        left = moments[n + 1] - (one.start - one.setup) if n + 1 < len(moments) else t.problem.start
        if sooner(one, t, bounds, "", wait=left) < one.setup:
            last = [link for end, link in ends if end >= at]
            befores = tuple(dict.fromkeys(link.before for link in last))
            return Kept("wait", moments[0], befores) if any(link.lag for link in last) else None
    return None


def kept_by_clock(one: Placed, t: Timeline, bounds: Mapping[str, int]) -> Kept | None:
    """It waits for a clock that runs."""
    return Kept("clock", t.ops[one.op].ready) if sooner(one, t, bounds, "clock") < one.setup else None


def kept_by_station(one: Placed, t: Timeline, bounds: Mapping[str, int]) -> Kept | None:
    """It waits for its station."""
    before = t.station_before.get(one.op)
    if not before or not t.at[before].setup <= sooner(one, t, bounds, "station") <= one.setup - WORTH_TELLING:
        return None
    return Kept("station", t.at[before].free, (before,))


def kept_by_closing(one: Placed, t: Timeline, at: int) -> Kept | None:
    """It could be begun at `at`, and would not be done by closing time, which leaves hands without work for a while."""
    opens, closes = t.hours_of(one).opens, t.hours_of(one).closes
    k = bisect_right(opens, at) - 1
    if k < 0 or not at < min(one.setup, closes[k]) or closes[k] - at < WORTH_TELLING:
        return None
    would_fit = k + 1 < len(closes) and at + needed_at_once(one, t) <= closes[k + 1]
    return Kept("closing", closes[k]) if would_fit else None


def kept_while_away(one: Placed, t: Timeline, at: int) -> Kept | None:
    """Whoever does it is not there at `at`, when the shop is open, and nobody else may use its station."""
    if one.hand is None or len(t.problem.crew) < 2 or able_hands(t.problem, t.ops[one.op]) != [one.hand]:
        return None
    soonest = earliest_start(t.compiled.hours, at, needed_at_once(one, t), False)
    opens, closes = t.hours_of(one).opens, t.hours_of(one).closes
    k = bisect_right(opens, one.setup) - 1
    if k < 0 or not soonest <= min(one.setup - WORTH_TELLING, opens[k] - 1) or (k and soonest < closes[k - 1]):
        return None
    return Kept("away", opens[k])


def kept_for_what_follows(one: Placed, t: Timeline, soonest: int) -> Kept | None:
    """It could be taken up at `soonest`, and what comes soon after it would then have to while the shop is closed."""
    free = t.compiled.end(t.number[one.op], soonest + one.start - one.setup) + t.ops[one.op].runs
    for link in t.going[one.op]:
        if link.most is not None and is_missed(link, link.most, one, free, t):
            return Kept("follow", link.most, (link.after,))
    if t.problem.craft and t.problem.craft.late_act:
        for link in t.going[one.op]:
            if link.wanted is not None and not link.wanted_open and is_missed(link, link.wanted, one, free, t):
                return Kept("wanted", link.wanted, (link.after,))
    return None


def is_missed(link: Link, most: int, one: Placed, free: int, t: Timeline) -> bool:
    """True if what follows within `most` minutes now could not, by the hours, if the operation were over at `free`."""
    after = t.ops[link.after]
    if t.at[link.after].start > one.free + most:
        return False
    return earliest_start(t.compiled.hours, free + link.lag, after.minutes, after.breakable) > free + most

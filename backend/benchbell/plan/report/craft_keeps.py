"""Why an operation does not start earlier though every rule allows it: a fault of craft that this would cost."""

from bisect import bisect_left
from collections.abc import Iterator

from benchbell.plan.model.compiled_craft import CompiledCraft
from benchbell.plan.model.craft_faults import short_pieces
from benchbell.plan.model.hours import FAR, open_minutes
from benchbell.plan.model.problem import Placed
from benchbell.plan.report.spans import overlapping
from benchbell.plan.report.timeline import Timeline
from benchbell.plan.report.what_keeps import Kept


def kept_by_craft(one: Placed, t: Timeline, soonest: int) -> Kept | None:
    """The one kind of fault that it would have at every moment from `soonest`, all else in its place; None for more."""
    craft = t.compiled.craft
    last = last_before(one, t)
    if craft is None or (craft.costs.late_act and leaves_late(one, last, t)):
        return None
    has = {found.what for found in faults_at(one, one.setup, craft, t)}
    new = [[f for f in faults_at(one, at, craft, t) if f.what not in has] for at in (soonest, last)]
    kinds = {"left" if found.what == "begun" else found.what for faults in new for found in faults}
    return new[0][0] if len(kinds) == 1 and all(new) else None


def leaves_late(one: Placed, setup: int, t: Timeline) -> bool:
    """True if, taken up at `setup`, it would leave longer than wanted what now follows in time, by the clock."""
    sooner = one.end - t.end_of(one, setup + one.start - one.setup)
    waits = [(t.at[x.after].start - one.end, x.wanted) for x in t.going[one.op] if x.wanted is not None]
    return any(now <= wanted < now + sooner for now, wanted in waits)


def last_before(one: Placed, t: Timeline) -> int:
    """The last minute before its own at which it may be taken up by the hours."""
    op, hours = t.ops[one.op], t.hours_of(one)
    needed = one.start - one.setup + (min(op.minutes, 1) if op.breakable else op.minutes)
    k = bisect_left(hours.opens, one.setup) - 1
    while k > 0 and hours.closes[k] - hours.opens[k] < needed:
        k -= 1
    return min(one.setup - 1, hours.closes[k] - needed)


def faults_at(one: Placed, setup: int, craft: CompiledCraft, t: Timeline) -> Iterator[Kept]:
    """The faults of craft that it would have if it were taken up at `setup`, and those that it would cause."""
    start = setup + one.start - one.setup
    end = t.end_of(one, start)
    if end == FAR:
        return
    op, costs = t.ops[one.op], craft.costs
    if op.breakable and costs.torn:
        yield from torn(op.minutes, start, end, craft, t)
    if op.fiddly and costs.fiddly:
        closes = craft.closings[bisect_left(craft.closings, end)]
        if closes - end < costs.last_minutes:
            yield Kept("hurry", closes)
    if costs.dust:
        yield from dust(one.op, start, end, craft, t)


def torn(minutes: int, start: int, end: int, craft: CompiledCraft, t: Timeline) -> Iterator[Kept]:
    """Closing would tear off a piece that is too short: the end of the work, or its beginning."""
    if end - start == minutes or not short_pieces(craft, t.compiled.hours, start, end):
        return
    last = craft.closings[bisect_left(craft.closings, end) - 1]
    left = open_minutes(t.compiled.hours, end) - open_minutes(t.compiled.hours, last)
    first = craft.closings[bisect_left(craft.closings, start)]
    before = open_minutes(t.compiled.hours, first) - open_minutes(t.compiled.hours, start)
    yield Kept("left", left) if left < craft.costs.least_piece else Kept("begun", before)


def dust(op: str, start: int, end: int, craft: CompiledCraft, t: Timeline) -> Iterator[Kept]:
    """It would throw dust on what is wet, or be wet while others throw dust."""
    n, ids = t.number[op], t.compiled.ids
    if craft.is_dusty[n]:
        spoilt = overlapping(t.wet, start, end, n)
        if spoilt:
            until, id = max((until, ids[i]) for _, i, until in spoilt)
            yield Kept("dust", until, (id,))
        elif start < craft.wet_until:
            yield Kept("dust", craft.wet_until)
    if dry := craft.wet.get(n):
        beside = overlapping(t.dusty, end, end + dry, n)
        if beside:
            yield Kept("wet", end + dry, (ids[beside[0][1]],))

"""When each operation of a given order is done: as soon as the rules let it, in that order and no other."""

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR, soonest
from benchbell.plan.model.problem import Placed, Plan
from benchbell.plan.search.parallel_generation import Walk


def timed(shop: CompiledProblem, order: list[int], no_sooner: dict[int, int] | None = None) -> Walk | None:
    """The order as soon as it can be; None where clamps, hours or what must come before do not allow it.

    no_sooner: operations that begin later than they could.
    """
    begin = shop.ready.copy()
    for i, at in (no_sooner or {}).items():
        begin[i] = max(begin[i], at)
    waits = [len(befores) for befores in shop.befores]
    standing, busy, free = shop.standing.copy(), [shop.start] * len(shop.standing), shop.free
    start, end = [0] * len(order), [0] * len(order)
    now, finish, changes = shop.start, shop.start, 0
    for i in order:
        if waits[i] or (free - shop.takes[i]) & shop.asks[i] != shop.asks[i]:
            return None
        place = shop.station[i]
        setting = 0
        if place >= 0:
            setting = shop.change[place][standing[place]][shop.setup[i]]
            now = max(now, busy[place])
        needed = setting + shop.needed[i]
        start[i] = setting + soonest(shop.hours, max(now, begin[i] - setting), needed, False)
        if start[i] >= FAR:
            return None
        now = shop.ended(i, start[i])
        if now == FAR:
            return None
        end[i] = now
        free += shop.gives[i] - shop.takes[i]
        if place >= 0:
            busy[place] = now + shop.runs[i]
            if shop.setup[i] >= 0 and standing[place] != shop.setup[i]:
                standing[place] = shop.setup[i]
                changes += 1
        finish = max(finish, now + shop.runs[i])
        for j, gap in shop.afters[i]:
            begin[j] = max(begin[j], now + gap)
            waits[j] -= 1
    return Walk(order, start, end, finish, changes, 0, 0)


def settings(shop: CompiledProblem, order: list[int]) -> list[int]:
    """Minutes of setting up before each operation, by operation."""
    standing = shop.standing.copy()
    found = [0] * len(order)
    for i in order:
        place = shop.station[i]
        if place >= 0:
            found[i] = shop.change[place][standing[place]][shop.setup[i]]
            if shop.setup[i] >= 0:
                standing[place] = shop.setup[i]
    return found


def worth(shop: CompiledProblem, walk: Walk) -> tuple[int, int, int, int, int]:
    """What a plan is judged by, less is better: operations left out, overrun, late, finish, changes."""
    start, end, runs = walk.start, walk.end, shop.runs
    if walk.left:
        return walk.left, 0, 0, walk.finish, walk.changes
    overrun = sum(max(0, start[x.after] - end[x.before] - x.most) for x in shop.limits)
    overrun += sum(max(0, start[i] - by) for i, by in shop.by.items())
    late = sum(piece.weight * max(0, max(end[i] + runs[i] for i in piece.ops) - piece.due) for piece in shop.pieces)
    return 0, overrun, late, walk.finish, walk.changes


def plan_of(shop: CompiledProblem, walk: Walk, bound: int) -> Plan:
    """The plan as others know it."""
    set_up = settings(shop, walk.order)
    start, end = walk.start, walk.end
    placed = (Placed(shop.ids[i], start[i] - set_up[i], start[i], end[i], end[i] + shop.runs[i]) for i in walk.order)
    _, overrun, late, finish, changes = worth(shop, walk)
    return Plan(tuple(placed), finish, changes, overrun, late, min(bound, finish))

"""The checker: what is wrong with a plan, by the rules in `plan/model/problem.py` alone.

It shares no code with what makes plans, so that both cannot be wrong in the same way.
"""

from collections import Counter
from collections.abc import Iterator

from benchbell.plan.model.check_craft import craft_of
from benchbell.plan.model.check_hours import day_of, stretches
from benchbell.plan.model.problem import Op, Placed, Plan, Problem

NEVER = 1 << 60


def faults(problem: Problem, plan: Plan) -> list[str]:
    """A sentence for each broken rule and each wrong figure; an empty list for a sound plan."""
    wanted, found = Counter(op.id for op in problem.ops), Counter(placed.op for placed in plan.placed)
    if wanted != found:
        return [
            f"{id} stands in the plan {found[id]} times, not {wanted[id]}."
            for id in wanted | found
            if wanted[id] != found[id]
        ]
    ops = {op.id: op for op in problem.ops}
    placed = {p.op: p for p in plan.placed}
    return [
        *(fault for p in plan.placed for fault in of_one(problem, ops[p.op], p)),
        *of_hands(problem, plan),
        *of_begun(problem, plan),
        *of_links(problem, placed),
        *of_stations(problem, plan, ops),
        *of_clamps(problem, placed),
        *of_figures(problem, plan, ops, placed),
    ]


def of_one(problem: Problem, op: Op, p: Placed) -> Iterator[str]:
    """What is wrong with the times of one operation by itself: hours, length, release time, run."""
    hours = stretches(problem)
    if p.setup < problem.start:
        yield f"{op.id} is set up at {p.setup}, before the plan begins at {problem.start}."
    if p.start < op.ready:
        yield f"{op.id} begins at {p.start}, and is ready only at {op.ready}."
    if p.free != p.end + op.runs:
        yield f"{op.id} is free at {p.free}, not {op.runs} minutes after its end at {p.end}."
    if not p.setup <= p.start <= p.end:
        yield f"{op.id} runs backwards: {p.setup}, {p.start}, {p.end}."
    breaks = op.breakable and op.minutes > 0
    needed = min(p.start + 1, p.end) if breaks else p.end
    if not any(w.start <= p.setup and needed <= w.end for w in hours):
        yield f"{op.id} does not fit into working hours from {p.setup} to {needed}."
    if not any(w.start < p.end <= w.end or (w.start <= p.end <= w.end and not op.minutes) for w in hours):
        yield f"{op.id} ends at {p.end}, outside working hours."
    worked = sum(max(0, min(p.end, w.end) - max(p.start, w.start)) for w in hours)
    if worked != op.minutes or (not breaks and p.end - p.start != op.minutes):
        yield f"{op.id} is worked on for {worked} minutes, not {op.minutes}."


def of_hands(problem: Problem, plan: Plan) -> Iterator[str]:
    """Never more operations at once than pairs of hands, and the plan is sorted by when operations are taken up."""
    for n, p in enumerate(plan.placed):
        if n and p.setup < plan.placed[n - 1].setup:
            yield f"{p.op} stands after {plan.placed[n - 1].op} in the plan, and is taken up before it."
        busy = [q.op for q in plan.placed[:n] if q.setup <= p.setup < q.end]
        if len(busy) >= problem.hands and p.setup < p.end:
            yield f"{p.op} is taken up at {p.setup}, while all hands are busy with {', '.join(busy)}."


def of_begun(problem: Problem, plan: Plan) -> Iterator[str]:
    """Begun operations come before all others except their own predecessors."""
    needed = {op.id for op in problem.ops if op.begun}
    pairs = [(link.before, link.after) for link in problem.links]
    pairs += [(hold.take, hold.give) for hold in problem.holds if hold.take and hold.give]
    for _ in problem.ops:
        needed |= {before for before, after in pairs if after in needed}
    begun = {op.id for op in problem.ops if op.begun}
    last = max((n for n, p in enumerate(plan.placed) if p.op in begun), default=-1)
    for p in plan.placed[: last + 1]:
        if p.op not in needed and (problem.hands == 1 or p.setup < plan.placed[last].setup):
            yield f"{p.op} is taken up before {plan.placed[last].op}, which is in hand already."


def of_links(problem: Problem, placed: dict[str, Placed]) -> Iterator[str]:
    """Precedence and minimal lags. Exceeded maximal lags are no fault: they count as overrun."""
    for link in problem.links:
        soonest = placed[link.before].free + link.lag
        if placed[link.after].start < soonest:
            yield f"{link.after} begins at {placed[link.after].start}, and may only at {soonest}, after {link.before}."


def of_stations(problem: Problem, plan: Plan, ops: dict[str, Op]) -> Iterator[str]:
    """One operation at a time on each station, and exactly the setup minutes that the change takes."""
    minutes = {station.id: station.minutes for station in problem.stations}
    standing = {station.id: station.standing for station in problem.stations}
    last: dict[str, Placed] = {}
    for p in plan.placed:
        op = ops[p.op]
        setting = 0
        if op.station:
            before = last.get(op.station)
            if before and p.setup < before.free:
                yield f"{op.id} takes {op.station} at {p.setup}, and {before.op} leaves it only at {before.free}."
            last[op.station] = p
            was = standing.get(op.station, "")
            if op.setup and op.setup != was:
                setting = minutes.get(op.station, {}).get(was, {}).get(op.setup, 0)
                standing[op.station] = op.setup
        if p.start - p.setup != setting:
            yield f"{op.id} is set up in {p.start - p.setup} minutes, not {setting}."


def of_clamps(problem: Problem, placed: dict[str, Placed]) -> Iterator[str]:
    """Whenever clamps are taken, no more of a kind are in use than the shop has."""
    spans = [
        (hold, placed[hold.take].start if hold.take else -NEVER, placed[hold.give].end if hold.give else NEVER)
        for hold in problem.holds
    ]
    for hold, taken, given in spans:
        since = taken if given > taken else taken - 1  # work of no length comes before work that starts at its moment
        if hold.take and hold.give not in ("", hold.take) and placed[hold.give].start < placed[hold.take].end:
            yield f"{hold.give} takes clamps off before {hold.take} has put them on."
        used = sum(
            other.count
            for other, start, end in spans
            if other.kind == hold.kind and ((start <= since and taken < end) or other.take == hold.take)
        )
        if hold.take and used > problem.clamps.get(hold.kind, 0):
            yield f"{used} {hold.kind} clamps are in use at {taken}, of {problem.clamps.get(hold.kind, 0)}."


def of_figures(problem: Problem, plan: Plan, ops: dict[str, Op], placed: dict[str, Placed]) -> Iterator[str]:
    """The plan's figures against those computed here from its times."""
    overrun = sum(
        max(0, placed[x.after].start - placed[x.before].free - x.most) for x in problem.links if x.most is not None
    )
    overrun += sum(max(0, placed[op.id].start - op.by) for op in problem.ops if op.by is not None)
    late = 0
    for piece in {op.piece for op in problem.ops}:
        of_piece = [op for op in problem.ops if op.piece == piece]
        dues = [op.due for op in of_piece if op.due is not None]
        if dues:
            done = max(placed[op.id].free for op in of_piece)
            late += max(op.weight for op in of_piece) * max(0, done - min(dues))
    standing = {station.id: station.standing for station in problem.stations}
    changes = 0
    for p in plan.placed:
        op = ops[p.op]
        if op.station and op.setup and standing.get(op.station, "") != op.setup:
            standing[op.station] = op.setup
            changes += 1
    finish = max((p.free for p in plan.placed), default=problem.start)
    for name, given, true in (
        ("finish", plan.finish, finish),
        ("changes", plan.changes, changes),
        ("overrun", plan.overrun, overrun),
        ("late", plan.late, late),
        ("day", plan.day, day_of(problem, finish)),
        ("craft", plan.craft, craft_of(problem, plan)),
    ):
        if given != true:
            yield f"The plan's {name} is given as {given}, and is {true}."
    if plan.bound > finish:
        yield f"The plan finishes at {finish}, and its bound says not before {plan.bound}."

"""The optimum of a very small problem: every order, each operation as early as the checker allows."""

from collections.abc import Iterator

from benchbell.plan.model.check import day_of, faults
from benchbell.plan.model.problem import Op, Placed, Plan, Problem
from msgspec.structs import replace


def best_of_all(problem: Problem) -> tuple[int, int, int]:
    """Least (late, finish, changes) over all orders. Maximal lags are not counted: keeping them may need a delay."""
    return min((plan.late, plan.finish, plan.changes) for plan in every_plan(problem, ()))


def every_plan(problem: Problem, placed: tuple[Placed, ...]) -> Iterator[Plan]:
    """Plans of all orders that begin with what is placed."""
    if len(placed) == len(problem.ops):
        yield figures(problem, placed)
        return
    done = {p.op for p in placed}
    for op in problem.ops:
        needed = {link.before for link in problem.links if link.after == op.id}
        needed |= {h.take for h in problem.holds if h.give == op.id and h.take not in ("", op.id)}
        if op.id not in done and needed <= done:
            earliest = next(feasible_places(problem, placed, op), None)
            if earliest:
                yield from every_plan(problem, (*placed, earliest))


def feasible_places(problem: Problem, placed: tuple[Placed, ...], op: Op) -> Iterator[Placed]:
    """The operation at each moment at which no rule is broken, the earliest first."""
    setting, _ = changed(problem, placed, op)
    now = max([problem.start, *(p.end for p in placed)])
    ids = {p.op for p in placed} | {op.id}
    so_far = replace(
        problem,
        ops=tuple(o for o in problem.ops if o.id in ids),
        links=tuple(link for link in problem.links if {link.before, link.after} <= ids),
        holds=tuple(
            replace(h, give=h.give if h.give in ids else "") for h in problem.holds if h.take == "" or h.take in ids
        ),
    )
    for setup in sorted({now, *(moment for moment in moments(problem, placed, op, setting) if moment > now)}):
        start = setup + setting
        end = worked_until(problem, op, start)
        here = Placed(op.id, setup, start, end, end + op.runs)
        if not faults(so_far, figures(so_far, (*placed, here))):
            yield here


def moments(problem: Problem, placed: tuple[Placed, ...], op: Op, setting: int) -> Iterator[int]:
    """When it may be taken up, if not at once. Any earliest start is one of these moments."""
    yield op.ready - setting
    for window in problem.windows:
        yield window.start
    for p in placed:
        yield p.free
        yield from (p.free + link.lag - setting for link in problem.links if (link.before, link.after) == (p.op, op.id))


def worked_until(problem: Problem, op: Op, start: int) -> int:
    """When the work ends; breakable work is counted minute by minute over closed time."""
    if not op.breakable:
        return start + op.minutes
    now, left = start, op.minutes
    last = max(window.end for window in problem.windows)
    while left and now < last:
        left -= any(window.start <= now < window.end for window in problem.windows)
        now += 1
    return now


def changed(problem: Problem, placed: tuple[Placed, ...], op: Op) -> tuple[int, bool]:
    """Minutes of setting up, and whether the setup is changed."""
    ops = {o.id: o for o in problem.ops}
    for station in problem.stations:
        if op.setup and station.id == op.station:
            there = [ops[p.op].setup for p in placed if ops[p.op].station == op.station and ops[p.op].setup]
            was = [station.standing, *there][-1]
            return (0, False) if was == op.setup else (station.minutes[was][op.setup], True)
    return 0, False


def figures(problem: Problem, placed: tuple[Placed, ...]) -> Plan:
    """The placed operations as a plan with its figures, which the checker compares with its own."""
    ops = {op.id: op for op in problem.ops}
    free = {p.op: p.free for p in placed}
    late = 0
    for piece in {ops[p.op].piece for p in placed}:
        of_piece = [ops[p.op] for p in placed if ops[p.op].piece == piece]
        dues = [op.due for op in of_piece if op.due is not None]
        late += (
            max(op.weight for op in of_piece) * max(0, max(free[op.id] for op in of_piece) - min(dues)) if dues else 0
        )
    finish = max([problem.start, *free.values()])
    return Plan(
        placed,
        finish,
        sum(changed(problem, placed[:n], ops[p.op])[1] for n, p in enumerate(placed)),
        late=late,
        day=day_of(problem, finish),
    )

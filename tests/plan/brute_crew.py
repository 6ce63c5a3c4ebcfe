"""The earliest finish of a very small problem for hands that differ: every order, and whoever does each operation."""

from collections.abc import Iterator

from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Op, Placed, Plan, Problem
from msgspec.structs import replace

STEP = 5
"""All times of the problem are multiples of this, so those of some best plan are too."""


def least_finish(problem: Problem) -> int:
    """The earliest finish of any plan, without setups, maximal lags, clamps and begun work."""
    return min(max(p.free for p in placed) for placed in every_plan(problem, ()))


def every_plan(problem: Problem, placed: tuple[Placed, ...]) -> Iterator[tuple[Placed, ...]]:
    """Plans of all orders and hands that begin with what is placed, each operation as early as the checker allows."""
    if len(placed) == len(problem.ops):
        yield placed
        return
    done = {p.op for p in placed}
    for op in problem.ops:
        needed = {link.before for link in problem.links if link.after == op.id}
        if op.id in done or not needed <= done:
            continue
        for hand in range(len(problem.crew)):
            earliest = next(feasible_places(problem, placed, op, hand), None)
            if earliest:
                yield from every_plan(problem, (*placed, earliest))


def feasible_places(problem: Problem, placed: tuple[Placed, ...], op: Op, hand: int) -> Iterator[Placed]:
    """The operation in these hands at each moment at which no rule is broken, the earliest first."""
    ids = {p.op for p in placed} | {op.id}
    so_far = replace(
        problem,
        ops=tuple(o for o in problem.ops if o.id in ids),
        links=tuple(link for link in problem.links if {link.before, link.after} <= ids),
    )
    last = max(window.end for window in problem.windows)
    for start in range(problem.start, last, STEP):
        end = worked_until(problem, op, start, hand)
        here = Placed(op.id, start, start, end, end + op.runs, hand)
        rows = tuple(sorted((*placed, here), key=lambda p: p.setup))
        if not faults(so_far, Plan(rows, max(p.free for p in rows), 0)):
            yield here


def worked_until(problem: Problem, op: Op, start: int, hand: int) -> int:
    """When the work ends; breakable work is counted over all time in which these hands are not there."""
    if not op.breakable:
        return start + op.minutes
    now, left, last = start, op.minutes, max(window.end for window in problem.windows)
    away = problem.crew[hand].away
    while left and now < last:
        is_open = any(window.start <= now < window.end for window in problem.windows)
        left -= STEP * (is_open and not any(window.start <= now < window.end for window in away))
        now += STEP
    return now

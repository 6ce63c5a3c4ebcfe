"""How much later an operation may begin with nothing getting worse, the order kept; and what happens beyond that."""

from benchbell.plan.model.compiled_problem import CompiledProblem, compile_problem
from benchbell.plan.model.hours import FAR
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.search.parallel_generation import Walk
from benchbell.plan.search.right_shift import latest_in_order
from benchbell.plan.search.serial_generation import timed


def slack(problem: Problem, plan: Plan) -> dict[str, int]:
    """By operation, minutes by which it alone may begin later without a later finish, more overrun or more late."""
    shop = compile_problem(problem)
    seen = walked(shop, plan)
    last = latest_in_order(shop, seen, begin_by(shop, seen), 0, len(seen.order))
    return {shop.ids[i]: last[i] - seen.start[i] for i in seen.order}


def cliff(problem: Problem, plan: Plan, op: str, minutes: int) -> int:
    """The finish if the operation begins so many minutes later than planned, all others in the order of the plan."""
    shop = compile_problem(problem)
    seen = walked(shop, plan)
    i = shop.ids.index(op)
    starts = dict(enumerate(seen.start)) | {i: seen.start[i] + minutes}
    later = timed(shop, seen.order, starts)
    return later.finish if later else FAR


def walked(shop: CompiledProblem, plan: Plan) -> Walk:
    """A plan as a walk."""
    number = {id: n for n, id in enumerate(shop.ids)}
    start, end = [0] * len(shop.ids), [0] * len(shop.ids)
    for placed in plan.placed:
        start[number[placed.op]], end[number[placed.op]] = placed.start, placed.end
    return Walk([number[p.op] for p in plan.placed], start, end, plan.finish, plan.changes, 0, 0)


def begin_by(shop: CompiledProblem, seen: Walk) -> dict[int, int]:
    """By operation with a limit, when it must begin so that the limit is passed no further than it is."""
    by = {i: max(seen.start[i], limit) for i, limit in shop.by.items()}
    for limit in shop.limits:
        most = max(seen.start[limit.after], seen.end[limit.before] + limit.most)
        by[limit.after] = min(most, by.get(limit.after, FAR))
    return by

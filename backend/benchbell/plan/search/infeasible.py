"""What can never be planned, and why, told before planning."""

from collections.abc import Iterator

from msgspec.structs import replace

from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.precedence import closure, gaps_of, sorted_by_need
from benchbell.plan.model.problem import Op, Problem
from benchbell.plan.search.deadlock import safe_order
from benchbell.plan.search.initial import first_keys, first_walk

Reason = tuple[str, str]
"""An operation, and a sentence: why it cannot be planned, and what to do."""


def impossible(problem: Problem) -> list[Reason]:
    """Operations no plan can hold. Without them, and once in a while others that follow from it, it can be planned."""
    return possible(problem)[1]


def possible(problem: Problem) -> tuple[Problem, list[Reason]]:
    """The problem without what cannot be planned; and that, with reasons."""
    told: list[Reason] = []
    for look in (in_circles, too_large, stuck):
        while found := list(look(problem)):
            found += following(problem, found)
            told += found
            problem = without(problem, {id for id, _ in found})
    return problem, told


def without(problem: Problem, gone: set[str]) -> Problem:
    """The problem without some operations; clamps that these would have given back stay in use."""
    return replace(
        problem,
        ops=tuple(op for op in problem.ops if op.id not in gone),
        links=tuple(link for link in problem.links if not {link.before, link.after} & gone),
        holds=tuple(
            replace(hold, give="" if hold.give in gone else hold.give)
            for hold in problem.holds
            if hold.take not in gone
        ),
    )


def following(problem: Problem, found: list[Reason]) -> list[Reason]:
    """All that comes after these, each with the first of them that it comes after."""
    number, after = {op.id: n for n, op in enumerate(problem.ops)}, nexts(problem)
    blame: dict[int, str] = {}
    for id, _ in found:
        blame |= {n: blame.get(n, id) for n in closure([number[id]], after)}
    left = sorted(blame.keys() - {number[id] for id, _ in found})
    return [
        (problem.ops[n].id, f"It comes after {blame[n]}, which cannot be planned. See to that first.") for n in left
    ]


def nexts(problem: Problem) -> list[list[int]]:
    """By operation, those that come right after it."""
    found: list[list[int]] = [[] for _ in problem.ops]
    for before, after in gaps_of(problem):
        found[before].append(after)
    return found


def in_circles(problem: Problem) -> Iterator[Reason]:
    """One circle of operations that wait for each other."""
    left = set(range(len(problem.ops))) - set(sorted_by_need(len(problem.ops), gaps_of(problem)))
    after = nexts(problem)
    for n in sorted(left):
        circle = closure(after[n], after) & left
        if n in circle:
            circle = {m for m in circle if n in closure(after[m], after)}
            names = [problem.ops[m].id for m in sorted(circle)]
            for name in names:
                others = ", ".join(other for other in names if other != name) or "itself"
                yield name, f"It waits for {others}, and that waits for it. Take one of these links away."
            return


def too_large(problem: Problem) -> Iterator[Reason]:
    """Work that no window holds, and glue-ups that want more clamps than the shop has."""
    longest = longest_window(problem)
    for op in problem.ops:
        if not op.breakable and op.minutes > longest:
            yield op.id, long_for(op, longest)
            continue
        for kind in dict.fromkeys(hold.kind for hold in problem.holds if hold.take == op.id):
            count = sum(hold.count for hold in problem.holds if hold.take == op.id and hold.kind == kind)
            owned = problem.clamps.get(kind, 0)
            if count > owned:
                yield op.id, f"It takes {count} {kind} clamps, the shop has {owned}. Glue up in parts, or get more."
                break


def longest_window(problem: Problem) -> int:
    """Minutes of the longest stretch of working hours."""
    hours = compile_problem(replace(problem, ops=(), links=(), holds=())).hours
    return max((close - begin for begin, close in zip(hours.opens, hours.closes, strict=True)), default=0)


def long_for(op: Op, longest: int) -> str:
    """Why it does not fit."""
    return (
        f"It takes {op.minutes} min in one go, the longest stretch of working hours is {longest} min. "
        "Divide it, mark it breakable, or work longer that day."
    )


def stuck(problem: Problem) -> Iterator[Reason]:
    """What is left over where neither pressing things first nor clamps first brings all into a plan."""
    shop = compile_problem(problem)
    seen = first_walk(shop, first_keys(shop))
    if not seen.left:
        return
    safe = safe_order(shop)
    for_clamps = set(range(len(shop.ids))) - set(safe)
    for_hours = set(range(len(shop.ids))) - set(seen.order)
    for i in sorted(for_clamps or for_hours):
        if any(before in (for_clamps or for_hours) for before, _ in shop.befores[i]):
            continue
        if for_clamps:
            yield shop.ids[i], "Its clamps never come free: others hold them for good. Get more, or glue up in parts."
        else:
            yield shop.ids[i], "It does not fit into the working hours that are known. Give more hours, or plan less."

"""Which operation must wait for which, and for how long; all of it by number."""

from heapq import heapify, heappop, heappush

from benchbell.plan.model.problem import Problem

Gaps = dict[tuple[int, int], int]
"""(before, after) to the least minutes from the attended end of the one to the start of the other."""


def gaps_of(problem: Problem) -> Gaps:
    """Links, clamps that come off after they went on, and what is in hand already before all else."""
    number = {op.id: n for n, op in enumerate(problem.ops)}
    gaps: Gaps = {}
    for link in problem.links:
        before, after = number[link.before], number[link.after]
        gap = link.lag + problem.ops[before].runs
        gaps[before, after] = max(gap, gaps.get((before, after), 0))
    for hold in problem.holds:
        if hold.take and hold.give and hold.take != hold.give:
            gaps.setdefault((number[hold.take], number[hold.give]), 0)
    return gaps | begun_first(problem, gaps)


def begun_first(problem: Problem, gaps: Gaps) -> Gaps:
    """That all else comes after what is begun, and after what that itself waits for."""
    count = len(problem.ops)
    befores: list[list[int]] = [[] for _ in range(count)]
    for before, after in gaps:
        befores[after].append(before)
    first = closure([n for n, op in enumerate(problem.ops) if op.begun], befores)
    last = first - {before for before, after in gaps if after in first}
    rest = [n for n in range(count) if n not in first and first.issuperset(befores[n])]
    return {(f, n): 0 for n in rest for f in last if (f, n) not in gaps}


def closure(roots: list[int], nexts: list[list[int]]) -> set[int]:
    """These and all that is reached from them."""
    reached = set(roots)
    left = list(roots)
    while left:
        for n in nexts[left.pop()]:
            if n not in reached:
                reached.add(n)
                left.append(n)
    return reached


def sorted_by_need(count: int, gaps: Gaps, place: list[int] | None = None) -> list[int]:
    """Numbers in an order in which each comes after what it waits for, otherwise by place; a circle is left out."""
    at = place or list(range(count))
    waits = [0] * count
    afters: list[list[int]] = [[] for _ in range(count)]
    for before, after in gaps:
        waits[after] += 1
        afters[before].append(after)
    free = [(at[n], n) for n in range(count) if not waits[n]]
    heapify(free)
    order = []
    while free:
        n = heappop(free)[1]
        order.append(n)
        for after in afters[n]:
            waits[after] -= 1
            if not waits[after]:
                heappush(free, (at[after], after))
    return order

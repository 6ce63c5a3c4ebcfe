"""The precedence graph: which operation must wait for which, with minimal time lags. Operations are numbers here."""

from heapq import heapify, heappop, heappush

from benchbell.plan.model.problem import Problem

MinLags = dict[tuple[int, int], int]
"""(before, after) to the minimal lag in minutes, from the attended end of the one to the start of the other."""


def min_lags_of(problem: Problem) -> MinLags:
    """All precedences: links, clamps that come off after they went on, and begun operations before all others.

    Raises KeyError where a link or hold names an operation that is not there.
    """
    number = {op.id: n for n, op in enumerate(problem.ops)}
    lags: MinLags = {}
    for link in problem.links:
        before, after = number[link.before], number[link.after]
        lag = link.lag + problem.ops[before].runs
        lags[before, after] = max(lag, lags.get((before, after), 0))
    for hold in problem.holds:
        if hold.take and hold.give and hold.take != hold.give:
            lags.setdefault((number[hold.take], number[hold.give]), 0)
    return lags | begun_first(problem, lags)


def begun_first(problem: Problem, lags: MinLags) -> MinLags:
    """The precedences that put all other operations after the begun ones and the predecessors of these."""
    count = len(problem.ops)
    predecessors: list[list[int]] = [[] for _ in range(count)]
    for before, after in lags:
        predecessors[after].append(before)
    first = closure([n for n, op in enumerate(problem.ops) if op.begun], predecessors)
    last = sorted(first - {before for before, after in lags if after in first})
    rest = [n for n in range(count) if n not in first and first.issuperset(predecessors[n])]
    return {(f, n): 0 for n in rest for f in last if (f, n) not in lags}


def closure(roots: list[int], neighbours: list[list[int]]) -> set[int]:
    """The roots and everything that can be reached from them. neighbours: by number, the numbers one step away."""
    reached = set(roots)
    left = list(roots)
    while left:
        for n in neighbours[left.pop()]:
            if n not in reached:
                reached.add(n)
                left.append(n)
    return reached


def topological_order(count: int, lags: MinLags, place: list[int] | None = None) -> list[int]:
    """Numbers 0 … count - 1, each after its predecessors; operations on a cycle, or after one, are left out.

    place: where the precedences leave a choice, the number with the least place comes first; by default the least
    number.
    """
    at = place or list(range(count))
    waits = [0] * count
    successors: list[list[int]] = [[] for _ in range(count)]
    for before, after in lags:
        waits[after] += 1
        successors[before].append(after)
    free = [(at[n], n) for n in range(count) if not waits[n]]
    heapify(free)
    order = []
    while free:
        n = heappop(free)[1]
        order.append(n)
        for after in successors[n]:
            waits[after] -= 1
            if not waits[after]:
                heappush(free, (at[after], after))
    return order

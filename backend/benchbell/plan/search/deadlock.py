"""A sequence in which clamps never deadlock.

Two glue-ups that each hold half of the clamps the other one needs wait forever. As in the banker's algorithm (Dijkstra
1965, from memory), clamps are given out only if all operations can still be done; here a depth-first search over which
operation takes clamps next.
"""

from benchbell.plan.model.compiled_problem import CompiledProblem

MOST_STATES = 2000
"""States visited before giving up; most shops need about one for each glue-up."""


def deadlock_free_order(compiled: CompiledProblem) -> list[int]:
    """All operations in an order that never deadlocks; if none is found, the longest such beginning."""
    seen: set[frozenset[int]] = set()
    best: list[int] = []
    left: list[list[int]] = [[]]
    while left and len(seen) < MOST_STATES:
        order, takers = extended(compiled, left.pop())
        done = frozenset(order)
        if done in seen:
            continue
        seen.add(done)
        if len(order) > len(best):
            best = order
        if len(best) == len(compiled.ids):
            break
        left += [[*order, i] for i in reversed(takers)]
    return best


def extended(compiled: CompiledProblem, order: list[int]) -> tuple[list[int], list[int]]:
    """The order with everything appended that takes no clamps; and the operations that could take clamps next."""
    order, done = order.copy(), set(order)
    for i in compiled.order:
        if i not in done and not compiled.takes[i] and done.issuperset(n for n, _ in compiled.predecessors[i]):
            done.add(i)
            order.append(i)
    free = compiled.free + sum(compiled.gives[i] - compiled.takes[i] for i in order)
    takers = [
        i
        for i in compiled.order
        if i not in done
        and done.issuperset(n for n, _ in compiled.predecessors[i])
        and (free - compiled.takes[i]) & compiled.guards[i] == compiled.guards[i]
    ]
    return order, takers

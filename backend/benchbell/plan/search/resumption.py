"""Where a parallel generation with other priorities may choose otherwise; nothing before and after it is redone.

An operation is chosen for its cost, which is its value negated and what it loses now, never less. So a lesser value
changes nothing before the operation's own turn; a greater one, nothing while it still costs more than what was chosen.
"""

from msgspec.structs import replace

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.search.checkpoints import Difference, Generated
from benchbell.plan.search.parallel_generation import Priorities


def difference_between(
    compiled: CompiledProblem, old: Priorities, new: Priorities, generated: Generated
) -> Difference | None:
    """Where the new priorities may choose otherwise; None if they never do.

    generated: what the old priorities made, with every operation placed.
    """
    order = generated.schedule.order
    if replace(old, values=new.values) != new:
        return Difference(generated, 0, len(order))
    changed = [i for i, (a, b) in enumerate(zip(old.values, new.values, strict=True)) if a != b]
    place = [0] * len(order)
    for n, i in enumerate(order):
        place[i] = n
    first = len(order)
    for i in changed:
        if new.values[i] < old.values[i]:
            first = min(first, place[i])
        else:
            since = max([place[before] + 1 for before, _ in compiled.predecessors[i]], default=0)
            first = min(first, first_no_cheaper(generated.costs, -new.values[i], since, place[i]))
    return Difference(generated, first, max(place[i] for i in changed)) if first < len(order) else None


def first_no_cheaper(costs: list[int], cost: int, since: int, until: int) -> int:
    """The first place in since … until - 1 at which what was chosen costs no less; the number of places without one."""
    return next((n for n in range(since, until) if costs[n] >= cost), len(costs))

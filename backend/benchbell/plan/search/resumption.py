"""From which place on a parallel generation with other priorities may choose otherwise; before it, nothing is redone.

An operation is chosen for its cost, which is its value negated and never less than that. So a lesser value changes
nothing before the operation's own turn; a greater one, nothing while it still costs more than what was chosen.
"""

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR
from benchbell.plan.search.parallel_generation import Difference, Generated, Priorities


def difference_between(compiled: CompiledProblem, old: Priorities, new: Priorities, generated: Generated) -> Difference:
    """Where the new priorities may choose otherwise; first is the length of the order where they never do.

    generated: what the old priorities made, with every operation placed.
    """
    order, place = generated.schedule.order, generated.place
    if (old.setup_weight, old.most_idle) != (new.setup_weight, new.most_idle):
        return Difference(generated, 0, len(order))
    first, last = len(order), 0
    for i in [i for i, (a, b) in enumerate(zip(old.values, new.values, strict=True)) if a != b]:
        last = max(last, place[i])
        if new.values[i] < old.values[i]:
            first = min(first, place[i])
        else:
            since = max([place[before] + 1 for before, _ in compiled.predecessors[i]], default=0)
            first = min(first, first_not_above(generated.costs, -new.values[i], since, place[i]))
    return Difference(generated, first, last)


def first_not_above(costs: list[int], cost: int, since: int, until: int) -> int:
    """The first place in since … until - 1 at which what was chosen costs no less than `cost`; FAR without one."""
    for n in range(since, until):
        if costs[n] >= cost:
            return n
    return FAR

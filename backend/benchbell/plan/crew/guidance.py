"""What guides both searches for several pairs of hands: a target before the finish, and how late work is for it."""

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.problem import Objective
from benchbell.plan.model.schedule import Schedule

FRUITLESS = 100
"""Tries without a better schedule after which a search goes on from another one of its pool."""

POOL = 12
"""How many of the best schedules a search remembers."""


def due_for(compiled: CompiledProblem, target: int, bound: int) -> list[int]:
    """By operation, when it should be done for a finish at `target`: no later than its piece is due, if that can be.

    bound: a lower bound on the finish; a piece that is due before it is wanted by then.
    """
    due = [target] * len(compiled.ids)
    for piece in compiled.pieces:
        for i in piece.ops:
            due[i] = min(target, max(piece.due, bound))
    return due


def guide(value: Objective, schedule: Schedule, latest: list[int]) -> tuple[int, int, int]:
    """What guides a search, less is better: overrun, lateness and tardiness together, changes.

    value: what the schedule is judged by. latest: by operation, its latest start for the target.
    """
    overrun, late, *_, changes = value
    behind = sum(start - last for start, last in zip(schedule.start, latest, strict=True) if start > last)
    return overrun, late + behind, changes

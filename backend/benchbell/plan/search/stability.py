"""Stability: the plan that stands is kept until another is clearly better, since nobody can work to a changing plan."""

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR
from benchbell.plan.model.precedence import topological_order
from benchbell.plan.model.problem import Objective, Plan
from benchbell.plan.model.schedule import Schedule, objective
from benchbell.plan.search.bound import latest_starts
from benchbell.plan.search.parallel_generation import Priorities, generate_parallel
from benchbell.plan.search.serial_generation import generate_serial

MARGIN = 30
"""Minutes by which a plan must be better to replace the one before. Common practice, no source."""

FEWER_CHANGES = 2
"""With all else within the margin, so many setup changes fewer are clearly better too."""


def values_of_plan(compiled: CompiledProblem, plan: Plan) -> list[int]:
    """Priority values that keep the plan's order; operations new since then are placed by their latest starts."""
    start = {placed.op: placed.start for placed in plan.placed}
    latest = latest_starts(compiled, [max(plan.finish, compiled.start)] * len(compiled.ids))
    return [-start.get(id, late) for id, late in zip(compiled.ids, latest, strict=True)]


def kept_schedule(compiled: CompiledProblem, plan: Plan) -> Schedule | None:
    """The earlier plan, generated again for the problem as it is now; None if that is infeasible.

    In exactly its order; or by its priorities, so that only what no longer fits before closing time moves back, if
    that is clearly better.
    """
    values = values_of_plan(compiled, plan)
    kept = serial_by_value(compiled, values)
    for most_idle in (FAR, 0):
        mended = generate_parallel(compiled, compiled.hours, Priorities(values, 0, most_idle), [FAR] * len(values))
        if mended and not mended.unplaced and (kept is None or is_worth_changing(compiled, kept, mended)):
            kept = mended
    return kept


def serial_by_value(compiled: CompiledProblem, values: list[int]) -> Schedule | None:
    """The greatest value first, as far as precedence allows, generated serially; None if that is infeasible."""
    place = [0] * len(values)
    for n, i in enumerate(sorted(range(len(values)), key=lambda i: -values[i])):
        place[i] = n
    lags = {(i, j): lag for i, pairs in enumerate(compiled.successors) for j, lag in pairs}
    return generate_serial(compiled, topological_order(len(values), lags, place))


def is_worth_changing(compiled: CompiledProblem, old: Schedule, new: Schedule) -> bool:
    """True if the new schedule is clearly better. Both must place every operation."""
    return is_clearly_better(objective(compiled, old), objective(compiled, new))


def is_clearly_better(old: Objective, new: Objective) -> bool:
    """True if new is better in the first figure that differs clearly; else if it has clearly fewer changes.

    Minutes differ clearly by the margin, the days of finish whenever they differ.
    """
    *was, old_changes = old
    *now, changes = new
    for a, b, margin in zip(was, now, (MARGIN, MARGIN, 1, MARGIN), strict=True):
        if abs(a - b) >= margin:
            return b < a
    return changes <= old_changes - FEWER_CHANGES

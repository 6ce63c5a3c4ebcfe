"""The first schedule: one pass of parallel generation, the least latest start first (the LST priority rule)."""

from benchbell.plan.model.compiled_problem import CompiledProblem
from benchbell.plan.model.hours import FAR
from benchbell.plan.model.schedule import Schedule
from benchbell.plan.search.bound import earliest_starts, latest_starts
from benchbell.plan.search.deadlock import deadlock_free_order
from benchbell.plan.search.parallel_generation import Priorities, generate_parallel
from benchbell.plan.search.right_shift import right_shifted
from benchbell.plan.search.serial_generation import generate_serial


def initial_schedule(compiled: CompiledProblem, values: list[int]) -> Schedule:
    """A schedule of all operations if one is found, else of as many as parallel generation places.

    values: priority value by operation. Where clamps deadlock, the operations are taken in a deadlock-free order.
    """
    schedule = parallel_with_limits(compiled, Priorities(values, 0, 0))
    if not schedule.unplaced:
        return schedule
    order = deadlock_free_order(compiled)
    return (len(order) == len(values) and generate_serial(compiled, order)) or schedule


def parallel_with_limits(compiled: CompiledProblem, priorities: Priorities) -> Schedule:
    """Parallel generation, however late it finishes, then a right shift of what starts an exceeded maximal lag."""
    schedule = generate_parallel(compiled, compiled.hours, priorities, [FAR] * len(priorities.values))
    assert schedule
    return right_shifted(compiled, schedule)


def latest_start_values(compiled: CompiledProblem) -> list[int]:
    """Priority values by operation: its latest start for the earliest finish that precedence allows, negated."""
    heads = earliest_starts(compiled)
    finish = max((compiled.end(i, head) + compiled.runs[i] for i, head in enumerate(heads)), default=compiled.start)
    return [-start for start in latest_starts(compiled, [finish] * len(compiled.ids))]

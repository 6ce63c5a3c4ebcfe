"""Re-timing: a plan's order with other durations.

The order stays, and so does what is begun before closing time: hands judge by the planned minutes whether it still
fits, and finish what they began.
"""

from collections.abc import Callable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from benchbell.plan.crew.crew_generation import crew_of, generate_for_crew
from benchbell.plan.model.compiled_problem import CompiledProblem, compile_problem
from benchbell.plan.model.problem import Problem
from benchbell.plan.model.schedule import Schedule
from benchbell.plan.search.serial_generation import generate_serial

Retime = Callable[[Sequence[int], list[int]], Schedule | None]
"""From an order and the minutes of each operation, by number, to the schedule; None where the hours end before."""


class Retiming(Struct, frozen=True):
    """compiled: the problem as planned. retime: see `Retime`."""

    compiled: CompiledProblem
    retime: Retime


def retiming_of(problem: Problem) -> Retiming:
    """How orders of the problem are timed, for one pair of hands or several."""
    if problem.hands == 1:
        compiled = compile_problem(problem)
        return Retiming(compiled, lambda order, minutes: generate_serial(replace(compiled, minutes=minutes), order))
    crew = crew_of(problem)

    def for_crew(order: Sequence[int], minutes: list[int]) -> Schedule | None:
        return generate_for_crew(replace(crew, compiled=replace(crew.compiled, minutes=minutes)), order)

    return Retiming(crew.compiled, for_crew)

"""The problem without the precedences of begun operations, for methods that keep that rule in another way.

With several pairs of hands other work may start beside what is begun, only not before it: no minimal lag says that.
"""

from msgspec import Struct
from msgspec.structs import replace

from benchbell.plan.model.compiled_problem import CompiledProblem, compile_problem
from benchbell.plan.model.precedence import closure
from benchbell.plan.model.problem import Problem


class UnbegunProblem(Struct, frozen=True):
    """compiled: the problem with every begun flag cleared. begun: the operations that are begun.

    first: these and all their predecessors; nothing else may be taken up before them.
    """

    compiled: CompiledProblem
    begun: frozenset[int]
    first: frozenset[int]


def without_begun(problem: Problem) -> UnbegunProblem:
    """The problem taken apart. Raises KeyError where a link or hold names an operation that is not there."""
    compiled = compile_problem(replace(problem, ops=tuple(replace(op, begun=False) for op in problem.ops)))
    begun = [n for n, op in enumerate(problem.ops) if op.begun]
    predecessors = [[before for before, _ in lags] for lags in compiled.predecessors]
    return UnbegunProblem(compiled, frozenset(begun), frozenset(closure(begun, predecessors)))

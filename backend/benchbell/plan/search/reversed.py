"""The reversed problem: time runs backward, so that a forward pass over it is a backward pass over the real one."""

from msgspec.structs import replace

from benchbell.plan.model.clamps import guards_of
from benchbell.plan.model.compiled_problem import NONE, CompiledProblem
from benchbell.plan.model.hours import FAR, Hours
from benchbell.plan.search.parallel_generation import Priorities, generate_parallel


def reversed_problem(compiled: CompiledProblem) -> CompiledProblem:
    """The problem with predecessors and successors exchanged, and clamps taken where they are given back.

    Two rules are only approximated: setting up stays before its operation, where the reverse would have it after, and
    a station is not held by a run. Good enough to find good orders; nothing is proved with it.
    """
    waits = list(map(len, compiled.successors))
    return replace(
        compiled,
        predecessors=compiled.successors,
        successors=compiled.predecessors,
        order=compiled.order[::-1],
        takes=compiled.gives,
        gives=compiled.takes,
        waits=waits,
        sources=[i for i, left in enumerate(waits) if not left],
        guards=[guards_of(packed) for packed in compiled.gives],
        free=compiled.free + sum(compiled.gives) - sum(compiled.takes),
        setup_minutes=[transposed(matrix) for matrix in compiled.setup_minutes],
        standing=[NONE] * len(compiled.standing),
        max_lags=[],
        by={},
        craft=None,
        start=0,
    )


def transposed(matrix: list[list[int]]) -> list[list[int]]:
    """Setup minutes with from and to exchanged; a last row, all 0, for a station whose setup is not known yet."""
    columns = zip(*(row[:-1] for row in matrix), strict=True)
    return [*([*column, 0] for column in columns), [0] * (len(matrix) + 1)]


def reversed_hours(hours: Hours, moment: int) -> Hours:
    """The hours counted back from a moment; all time before the first window counts as open."""
    known = [(a, b) for a, b in zip(hours.opens, hours.closes, strict=True) if a < moment]
    opens = [max(0, moment - b) for _, b in reversed(known)]
    closes = [moment - a for a, _ in reversed(known)]
    return Hours(opens or [0], [*closes[:-1], FAR], [])


def latest_by_backward_pass(
    compiled: CompiledProblem, reverse: CompiledProblem, due: list[int], priorities: Priorities
) -> list[int] | None:
    """By operation, a latest start that respects hours, hands, clamps and setups, by one backward pass.

    Only one of many such sets of latest starts: it depends on the priorities. None if the pass places not all.
    due: by operation, when it should be done, its run included.
    """
    moment = max(due)
    ready = [moment - by + run for by, run in zip(due, compiled.runs, strict=True)]
    backward = generate_parallel(
        replace(reverse, ready=ready), reversed_hours(compiled.hours, moment), priorities, [FAR] * len(due)
    )
    if backward is None or backward.unplaced:
        return None
    return [moment - end for end in backward.end]

"""Runs: operations that a station does one after the other in one setup. Fewer runs are fewer setup changes.

The order of a station's setups is a travelling salesman's tour, with the finish for a limit. Two runs of the same setup
are joined as in Or-opt (Or 1976, from memory): one of the two is taken out and put beside the other.
"""

from benchbell.plan.model.compiled_problem import CompiledProblem, Lags
from benchbell.plan.search.random import Random

Run = list[int]


def runs_in(compiled: CompiledProblem, order: list[int]) -> list[Run]:
    """All runs of all stations, in the order in which they begin."""
    found: list[Run] = []
    open_runs: dict[int, Run] = {}
    for i in order:
        station, setup = compiled.station[i], compiled.setup[i]
        if station < 0 or setup < 0:
            continue
        run = open_runs.get(station)
        if run and compiled.setup[run[0]] == setup:
            run.append(i)
        else:
            open_runs[station] = [i]
            found.append(open_runs[station])
    return found


def two_alike(compiled: CompiledProblem, order: list[int], random: Random) -> tuple[Run, Run] | None:
    """A random run, and the next one of the same setup on its station; None if no setup has two."""
    pairs: list[tuple[Run, Run]] = []
    last: dict[tuple[int, int], Run] = {}
    for run in runs_in(compiled, order):
        what = compiled.station[run[0]], compiled.setup[run[0]]
        if what in last:
            pairs.append((last[what], run))
        last[what] = run
    return random.one_of(pairs) if pairs else None


def joined_in_order(compiled: CompiledProblem, order: list[int], random: Random) -> list[int] | None:
    """The order with two runs of one setup joined; None if no setup has two.

    The later one comes sooner, with its predecessors that are between, or the sooner one later, with its successors.
    """
    pair = two_alike(compiled, order, random)
    if pair is None:
        return None
    first, second = pair
    if random.below(2):
        begin, end = order.index(first[-1]) + 1, order.index(second[-1]) + 1
        between = order[begin:end]
        moved = neighbours_among(between, second, compiled.predecessors)
        joined = [i for i in between if i in moved] + [i for i in between if i not in moved]
    else:
        begin, end = order.index(first[0]), order.index(second[0])
        between = order[begin:end]
        moved = neighbours_among(between, first, compiled.successors)
        joined = [i for i in between if i not in moved] + [i for i in between if i in moved]
    return order[:begin] + joined + order[end:]


def neighbours_among(between: list[int], run: Run, lags: Lags) -> set[int]:
    """Of the operations between, those of the run and all their neighbours, direct and indirect."""
    found: set[int] = set()
    left = run.copy()
    while left:
        i = left.pop()
        if i in between and i not in found:
            found.add(i)
            left += [j for j, _ in lags[i]]
    return found

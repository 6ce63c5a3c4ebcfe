"""The problem compiled to lists of whole numbers, once, so that thousands of schedules can be generated quickly.

Operations, stations and setups become numbers. Clamps of all kinds are packed into one number (`clamps.py`).
"""

from msgspec import Struct

from benchbell.plan.model.clamps import guards_of, packed_clamps
from benchbell.plan.model.compiled_craft import CompiledCraft, compile_craft
from benchbell.plan.model.hands import hours_of_hand
from benchbell.plan.model.hours import Hours, end_of, hours_of, mornings
from benchbell.plan.model.precedence import min_lags_of, topological_order
from benchbell.plan.model.problem import Op, Problem, Station

NONE = -1
"""As a station: no station. As a setup: no setup, and the last column of `setup_minutes`, which is all 0."""

Lags = list[list[tuple[int, int]]]
"""By operation, its neighbours in the precedence graph with the minimal lag between: (operation, minutes)."""


class MaxLag(Struct, frozen=True):
    """A maximal time lag: `after` should start at most `most` minutes after the attended end of `before`.

    least: the minimal lag between the same two, also from the attended end.
    """

    before: int
    after: int
    least: int
    most: int


class Piece(Struct, frozen=True):
    """A piece with a due time: its operations, when the last one should be done, and the weight of its tardiness."""

    ops: list[int]
    due: int
    weight: int


class CompiledProblem(Struct, frozen=True):
    """The problem as lists, by operation unless said otherwise; times in minutes.

    needed: minutes that must fit into one window, 1 for breakable work.
    predecessors, successors: with minimal lags from the attended end of one to the start of the other. waits: how many
    predecessors; sources: the operations without any. order: a topological order. takes, gives: packed clamps;
    guards: guard bits of what it takes; free: packed clamps that are free at the beginning.
    setup_minutes[station][from][to]: 0 where `to` is NONE. standing: by station, its setup at the beginning.
    by: operation to its latest start, where it has one. pieces: those with a due time. piece: every operation's
    piece, numbered. mornings: when each day but the first begins, in order.
    craft: None where no fault of craft counts.
    """

    ids: list[str]
    minutes: list[int]
    needed: list[int]
    runs: list[int]
    ready: list[int]
    breakable: list[bool]
    station: list[int]
    setup: list[int]
    predecessors: Lags
    successors: Lags
    order: list[int]
    waits: list[int]
    sources: list[int]
    takes: list[int]
    gives: list[int]
    guards: list[int]
    free: int
    setup_minutes: list[list[list[int]]]
    standing: list[int]
    hours: Hours
    start: int
    max_lags: list[MaxLag]
    by: dict[int, int]
    pieces: list[Piece]
    piece: list[int]
    mornings: list[int]
    craft: CompiledCraft | None

    def end(self, i: int, start: int) -> int:
        """The attended end of operation `i` if it starts at `start`, inside a window; FAR when hours are too few."""
        return end_of(self.hours, start, self.minutes[i]) if self.breakable[i] else start + self.minutes[i]


def compile_problem(problem: Problem) -> CompiledProblem:
    """The problem as lists. Raises KeyError where a link or hold names an operation that is not there."""
    ops = problem.ops
    predecessors, successors, order = precedence_lists(problem)
    waits = list(map(len, predecessors))
    station, setup, setup_minutes, standing = station_lists(problem)
    takes, gives, free = packed_clamps(problem)
    pieces, piece = piece_lists(ops)
    alone = len(problem.crew) == 1  # whose hours are all that there are
    hours = hours_of_hand(problem, problem.crew[0]) if alone else hours_of(problem.windows, problem.start)
    return CompiledProblem(
        ids=[op.id for op in ops],
        minutes=[op.minutes for op in ops],
        needed=[min(op.minutes, 1) if op.breakable else op.minutes for op in ops],
        runs=[op.runs for op in ops],
        ready=[max(op.ready, problem.start) for op in ops],
        breakable=[op.breakable and op.minutes > 0 for op in ops],
        station=station,
        setup=setup,
        predecessors=predecessors,
        successors=successors,
        order=order,
        waits=waits,
        sources=[i for i, left in enumerate(waits) if not left],
        takes=takes,
        gives=gives,
        guards=list(map(guards_of, takes)),
        free=free,
        setup_minutes=setup_minutes,
        standing=standing,
        hours=hours,
        start=problem.start,
        max_lags=max_lags_of(problem),
        by={n: op.by for n, op in enumerate(ops) if op.by is not None},
        pieces=pieces,
        piece=piece,
        mornings=mornings(hours),
        craft=compile_craft(problem, hours, stations_of(problem)),
    )


def precedence_lists(problem: Problem) -> tuple[Lags, Lags, list[int]]:
    """Predecessors and successors by operation, and a topological order."""
    lags = min_lags_of(problem)
    predecessors: Lags = [[] for _ in problem.ops]
    successors: Lags = [[] for _ in problem.ops]
    for (before, after), lag in lags.items():
        predecessors[after].append((before, lag))
        successors[before].append((after, lag))
    return predecessors, successors, topological_order(len(problem.ops), lags)


def station_lists(problem: Problem) -> tuple[list[int], list[int], list[list[list[int]]], list[int]]:
    """By operation, its station and its setup; by station, its matrix of setup minutes and its standing setup."""
    stations = stations_of(problem)
    setups = [setups_of(problem, station) for station in stations]
    number = {station.id: n for n, station in enumerate(stations)}
    station = [number[op.station] if op.station else NONE for op in problem.ops]
    setup = [
        setups[at].index(op.setup) if op.setup and at != NONE else NONE
        for op, at in zip(problem.ops, station, strict=True)
    ]
    matrices = [setup_matrix(s, names) for s, names in zip(stations, setups, strict=True)]
    standing = [names.index(s.standing) for s, names in zip(stations, setups, strict=True)]
    return station, setup, matrices, standing


def stations_of(problem: Problem) -> list[Station]:
    """The problem's stations, and those that only operations name."""
    described = {station.id: station for station in problem.stations}
    named = {op.station: Station(op.station) for op in problem.ops if op.station}
    return list((named | described).values())


def setups_of(problem: Problem, station: Station) -> list[str]:
    """All setups of a station, the standing one first."""
    named = [op.setup for op in problem.ops if op.station == station.id and op.setup]
    return list(dict.fromkeys((station.standing, *named)))


def setup_matrix(station: Station, setups: list[str]) -> list[list[int]]:
    """Minutes from setup to setup, by number; one more column, all 0, for work that needs no setup."""
    rows = [station.minutes.get(name, {}) for name in setups]
    return [[0 if i == k else row.get(to, 0) for k, to in enumerate(setups)] + [0] for i, row in enumerate(rows)]


def max_lags_of(problem: Problem) -> list[MaxLag]:
    """The links that have a maximal lag."""
    number = {op.id: n for n, op in enumerate(problem.ops)}
    runs = {op.id: op.runs for op in problem.ops}
    return [
        MaxLag(number[x.before], number[x.after], x.lag + runs[x.before], x.most + runs[x.before])
        for x in problem.links
        if x.most is not None
    ]


def piece_lists(ops: tuple[Op, ...]) -> tuple[list[Piece], list[int]]:
    """The pieces that have a due time, and by operation the number of its piece among all pieces."""
    names = list(dict.fromkeys(op.piece for op in ops))
    pieces = [piece for name in names if (piece := due_piece(ops, name))]
    return pieces, [names.index(op.piece) for op in ops]


def due_piece(ops: tuple[Op, ...], name: str) -> Piece | None:
    """The piece with its earliest due time and its greatest weight; None if none of its operations is due."""
    of_piece = [n for n, op in enumerate(ops) if op.piece == name]
    dues = [due for n in of_piece if (due := ops[n].due) is not None]
    return Piece(of_piece, min(dues), max(ops[n].weight for n in of_piece)) if dues else None

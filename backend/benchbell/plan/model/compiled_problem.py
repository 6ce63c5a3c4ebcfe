"""A problem as lists of whole numbers, made once, so that thousands of orders can be timed quickly.

Operations, stations and setups are numbers here. Clamps of all kinds are packed into one number, a field of WIDTH bits
for each, whose highest bit is a guard that stays set while none is missing: one subtraction asks for all kinds at once.
"""

from msgspec import Struct

from benchbell.plan.model.hours import Hours, end_of, hours_of
from benchbell.plan.model.precedence import gaps_of, sorted_by_need
from benchbell.plan.model.problem import Op, Problem, Station

WIDTH = 24
GUARD = 1 << WIDTH - 1
NONE = -1
"""No station; and, as setup, the last column of `CompiledProblem.change`, which is all 0."""


class Limit(Struct, frozen=True):
    """`after` should start at most `most` minutes after the attended end of `before`, and cannot before `gap`."""

    before: int
    after: int
    gap: int
    most: int


class Piece(Struct, frozen=True):
    """Operations of a piece that somebody waits for."""

    ops: list[int]
    due: int
    weight: int


class CompiledProblem(Struct, frozen=True):
    """Lists are by operation where nothing else is said.

    needed: minutes that must fit into one window: 1 for breakable work. afters: (operation, least minutes from the
    attended end of this one to that one's start), befores the other way round. order: each after its befores.
    takes, gives: packed clamps; asks: the guards of what it takes; free: clamps at the beginning.
    change[station][from][to]: minutes, 0 where `to` is NONE. standing: by station, the setup it has at first.
    by: latest starts; minutes past them are overrun. piece: by number, for all operations alike.
    """

    ids: list[str]
    minutes: list[int]
    needed: list[int]
    runs: list[int]
    ready: list[int]
    breakable: list[bool]
    station: list[int]
    setup: list[int]
    befores: list[list[tuple[int, int]]]
    afters: list[list[tuple[int, int]]]
    order: list[int]
    takes: list[int]
    gives: list[int]
    asks: list[int]
    free: int
    change: list[list[list[int]]]
    standing: list[int]
    hours: Hours
    start: int
    limits: list[Limit]
    by: dict[int, int]
    pieces: list[Piece]
    piece: list[int]

    def ended(self, i: int, start: int) -> int:
        """When an operation ends that begins then, inside a window."""
        return end_of(self.hours, start, self.minutes[i]) if self.breakable[i] else start + self.minutes[i]


def compile_problem(problem: Problem) -> CompiledProblem:
    """The problem as lists. Raises KeyError where a link or hold names an operation that is not there."""
    ops = problem.ops
    stations = stations_of(problem)
    place = {station.id: n for n, station in enumerate(stations)}
    setups = [setups_of(problem, station) for station in stations]
    takes, gives, free = clamps_of(problem)
    gaps = gaps_of(problem)
    befores: list[list[tuple[int, int]]] = [[] for _ in ops]
    afters: list[list[tuple[int, int]]] = [[] for _ in ops]
    for (before, after), gap in gaps.items():
        befores[after].append((before, gap))
        afters[before].append((after, gap))
    pieces = list(dict.fromkeys(op.piece for op in ops))
    station = [place[op.station] if op.station else NONE for op in ops]
    return CompiledProblem(
        ids=[op.id for op in ops],
        minutes=[op.minutes for op in ops],
        needed=[min(op.minutes, 1) if op.breakable else op.minutes for op in ops],
        runs=[op.runs for op in ops],
        ready=[max(op.ready, problem.start) for op in ops],
        breakable=[op.breakable and op.minutes > 0 for op in ops],
        station=station,
        setup=[
            setups[at].index(op.setup) if op.setup and at >= 0 else NONE for op, at in zip(ops, station, strict=True)
        ],
        befores=befores,
        afters=afters,
        order=sorted_by_need(len(ops), gaps),
        takes=takes,
        gives=gives,
        asks=[guards(packed) for packed in takes],
        free=free,
        change=[minutes_of(s, names) for s, names in zip(stations, setups, strict=True)],
        standing=[names.index(s.standing) for s, names in zip(stations, setups, strict=True)],
        hours=hours_of(problem.windows, problem.start),
        start=problem.start,
        limits=limits_of(problem),
        by={n: op.by for n, op in enumerate(ops) if op.by is not None},
        pieces=[
            piece for name in pieces for piece in waited_for([(n, op) for n, op in enumerate(ops) if op.piece == name])
        ],
        piece=[pieces.index(op.piece) for op in ops],
    )


def stations_of(problem: Problem) -> list[Station]:
    """Stations that are described, and those that operations only name."""
    known = {station.id: station for station in problem.stations}
    named = {op.station: Station(op.station) for op in problem.ops if op.station}
    return list((named | known).values())


def setups_of(problem: Problem, station: Station) -> list[str]:
    """All setups of a station, the standing one included."""
    named = [op.setup for op in problem.ops if op.station == station.id and op.setup]
    return list(dict.fromkeys((station.standing, *named)))


def minutes_of(station: Station, setups: list[str]) -> list[list[int]]:
    """Minutes to change over, from and to by number; one more column for work that needs no setup."""
    rows = [station.minutes.get(name, {}) for name in setups]
    return [[0 if i == k else row.get(to, 0) for k, to in enumerate(setups)] + [0] for i, row in enumerate(rows)]


def clamps_of(problem: Problem) -> tuple[list[int], list[int], int]:
    """Packed clamps: taken by operation, given back by operation, and free at the beginning with all guards set."""
    number = {op.id: n for n, op in enumerate(problem.ops)}
    kinds = dict.fromkeys((*problem.clamps, *(hold.kind for hold in problem.holds)))
    shift = {kind: n * WIDTH for n, kind in enumerate(kinds)}
    takes, gives = [0] * len(problem.ops), [0] * len(problem.ops)
    free = sum(GUARD + problem.clamps.get(kind, 0) << shift[kind] for kind in kinds)
    for hold in problem.holds:
        count = hold.count << shift[hold.kind]
        if hold.take:
            takes[number[hold.take]] += count
        else:
            free -= count
        if hold.give:
            gives[number[hold.give]] += count
    return takes, gives, free


def guards(packed: int) -> int:
    """The guards of those kinds of which there are any."""
    found, shift = 0, 0
    while packed >> shift:
        if packed >> shift & GUARD - 1:
            found |= GUARD << shift
        shift += WIDTH
    return found


def limits_of(problem: Problem) -> list[Limit]:
    """Links with a longest wait."""
    number = {op.id: n for n, op in enumerate(problem.ops)}
    runs = {op.id: op.runs for op in problem.ops}
    return [
        Limit(number[x.before], number[x.after], x.lag + runs[x.before], x.most + runs[x.before])
        for x in problem.links
        if x.most is not None
    ]


def waited_for(ops: list[tuple[int, Op]]) -> list[Piece]:
    """One piece, if any of its operations has a due time: the soonest, and the greatest weight."""
    dues = [op.due for _, op in ops if op.due is not None]
    return [Piece([n for n, _ in ops], min(dues), max(op.weight for _, op in ops))] if dues else []

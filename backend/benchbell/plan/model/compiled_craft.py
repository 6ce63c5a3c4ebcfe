"""What craft asks of a compiled problem: by kind of fault, the operations that can have it, by number."""

from msgspec import Struct

from benchbell.plan.model.hours import Hours
from benchbell.plan.model.problem import Craft, Problem, Station


class WantedLag(Struct, frozen=True):
    """`after` should start at most `most` minutes after the attended end of `before`.

    least: the minimal lag between the two, also from the attended end. open_only: beyond `least`, only minutes in
    working hours count.
    """

    before: int
    after: int
    least: int
    most: int
    open_only: bool


class CompiledCraft(Struct, frozen=True):
    """The operations that may be torn, that throw dust, and that are fiddly; wet: operation to its minutes.

    wanted: the links with a wanted lag. closings: when the shop closes for a long break, in order; the last is the end
    of all hours. visits: by station, what coming back to it costs; one more, 0, for work without one. here: the station
    where work was last done, -1 if none or near. is_dusty, is_fiddly: by operation. starts: operation to the wanted
    lags by the clock that begin with its end. touchy: by operation, whether closing time may spoil it or what follows.
    marks: by operation, whether dust or a start after it depends on its end, or it is such a start.
    """

    costs: Craft
    torn: list[int]
    dusty: list[int]
    wet: dict[int, int]
    fiddly: list[int]
    wanted: list[WantedLag]
    closings: list[int]
    visits: list[int]
    here: int
    wet_until: int
    hands: int
    is_dusty: list[bool]
    is_fiddly: list[bool]
    starts: dict[int, list[WantedLag]]
    touchy: list[bool]
    marks: list[bool]


def compile_craft(problem: Problem, hours: Hours, stations: list[Station]) -> CompiledCraft | None:
    """Craft for these hours; None where no fault counts. stations: by number."""
    craft = problem.craft
    if craft is None:
        return None
    ops = problem.ops
    dusty = [op.dusty and op.minutes > 0 for op in ops]
    wanted = wanted_lags(problem)
    by_clock = [lag for lag in wanted if not lag.open_only]
    starts: dict[int, list[WantedLag]] = {}
    for lag in by_clock:
        starts.setdefault(lag.before, []).append(lag)
    ends = {lag.after for lag in by_clock}
    here = [n for n, station in enumerate(stations) if station.id == problem.here and not station.near]
    return CompiledCraft(
        costs=craft,
        torn=[n for n, op in enumerate(ops) if op.breakable and op.minutes > 0],
        dusty=[n for n, is_dusty in enumerate(dusty) if is_dusty],
        wet={n: op.wet for n, op in enumerate(ops) if op.wet},
        fiddly=[n for n, op in enumerate(ops) if op.fiddly],
        wanted=wanted,
        closings=closings_of(hours, craft.long_break),
        visits=[*(0 if station.near else craft.visit for station in stations), 0],
        here=here[0] if here else -1,
        wet_until=problem.wet_until,
        hands=problem.hands,
        is_dusty=dusty,
        is_fiddly=[op.fiddly for op in ops],
        starts=starts,
        touchy=[op.fiddly or op.breakable or n in starts for n, op in enumerate(ops)],
        marks=[op.wet > 0 or n in starts or n in ends for n, op in enumerate(ops)],
    )


def wanted_lags(problem: Problem) -> list[WantedLag]:
    """The links that have a wanted lag."""
    number = {op.id: n for n, op in enumerate(problem.ops)}
    runs = {op.id: op.runs for op in problem.ops}
    return [
        WantedLag(
            before=number[x.before],
            after=number[x.after],
            least=x.lag + runs[x.before],
            most=x.wanted + runs[x.before],
            open_only=x.wanted_open,
        )
        for x in problem.links
        if x.wanted is not None
    ]


def closings_of(hours: Hours, long_break: int) -> list[int]:
    """When windows end after which the shop stays closed for at least so many minutes, and the end of the last."""
    pairs = zip(hours.closes, hours.opens[1:], strict=False)
    return [*(end for end, begin in pairs if begin - end >= long_break), *hours.closes[-1:]]

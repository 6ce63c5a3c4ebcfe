"""What craft asks of a compiled problem: by kind of fault, the operations that can have it, by number."""

from msgspec import Struct

from benchbell.plan.model.hours import Hours
from benchbell.plan.model.problem import Craft, Problem

NOWHERE = -1
"""In place of a station: none at all, or one that is near."""


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
    of all hours. here: the station where work was last done, or NOWHERE. place: by operation, its station, or NOWHERE.
    is_dusty, is_fiddly: by operation. starts: operation to the wanted lags that begin with its end. touchy: by
    operation, whether it is any of the last three.
    """

    costs: Craft
    torn: list[int]
    dusty: list[int]
    wet: dict[int, int]
    fiddly: list[int]
    wanted: list[WantedLag]
    closings: list[int]
    here: int
    wet_until: int
    hands: int
    place: list[int]
    is_dusty: list[bool]
    is_fiddly: list[bool]
    starts: dict[int, list[WantedLag]]
    touchy: list[bool]


def compile_craft(problem: Problem, hours: Hours) -> CompiledCraft | None:
    """Craft for these hours; None where no fault counts."""
    craft = problem.craft
    if craft is None:
        return None
    ops = problem.ops
    dusty = [op.dusty and op.minutes > 0 for op in ops]
    wanted = wanted_lags(problem)
    starts = {lag.before: [other for other in wanted if other.before == lag.before] for lag in wanted}
    near = {"", *(station.id for station in problem.stations if station.near)}
    places = list(dict.fromkeys(name for name in (problem.here, *(op.station for op in ops)) if name not in near))
    return CompiledCraft(
        costs=craft,
        torn=[n for n, op in enumerate(ops) if op.breakable and op.minutes > 0],
        dusty=[n for n, is_dusty in enumerate(dusty) if is_dusty],
        wet={n: op.wet for n, op in enumerate(ops) if op.wet},
        fiddly=[n for n, op in enumerate(ops) if op.fiddly],
        wanted=wanted,
        closings=closings_of(hours, craft.long_break),
        here=places.index(problem.here) if problem.here in places else NOWHERE,
        wet_until=problem.wet_until,
        hands=problem.hands,
        place=[places.index(op.station) if op.station in places else NOWHERE for op in ops],
        is_dusty=dusty,
        is_fiddly=[op.fiddly for op in ops],
        starts=starts,
        touchy=[dusty[n] or op.fiddly or n in starts for n, op in enumerate(ops)],
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

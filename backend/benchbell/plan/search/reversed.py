"""The same problem seen from its end: what is taken up early there must begin late here."""

from msgspec.structs import replace

from benchbell.plan.model.compiled_problem import NONE, CompiledProblem, guards
from benchbell.plan.model.hours import FAR, Hours
from benchbell.plan.search.parallel_generation import Priorities, walk


def reversed_problem(shop: CompiledProblem) -> CompiledProblem:
    """The problem with its time turned round: what comes before comes after, clamps go on where they come off.

    Setting up stays before its operation, which in truth is after it, and a station is not held by a run: close
    enough to find good orders, and no proof of anything.
    """
    free = shop.free + sum(shop.gives) - sum(shop.takes)
    return replace(
        shop,
        befores=shop.afters,
        afters=shop.befores,
        order=shop.order[::-1],
        takes=shop.gives,
        gives=shop.takes,
        asks=[guards(packed) for packed in shop.gives],
        free=free,
        change=[turned(rows) for rows in shop.change],
        standing=[NONE] * len(shop.standing),
        limits=[],
        by={},
        start=0,
    )


def turned(rows: list[list[int]]) -> list[list[int]]:
    """Minutes of changing over, to and from; the last row, for a station of which nothing is known yet, is 0."""
    columns = zip(*(row[:-1] for row in rows), strict=True)
    return [*([*column, 0] for column in columns), [0] * (len(rows) + 1)]


def hours_before(hours: Hours, moment: int) -> Hours:
    """The hours turned round at a moment; before they begin, all time counts as open."""
    known = [(a, b) for a, b in zip(hours.opens, hours.closes, strict=True) if a < moment]
    opens = [max(0, moment - b) for _, b in reversed(known)]
    closes = [moment - a for a, _ in reversed(known)]
    return Hours(opens or [0], [*closes[:-1], FAR], [])


def latest_by_mirror(
    shop: CompiledProblem, reverse: CompiledProblem, by: list[int], priorities: Priorities
) -> list[int] | None:
    """Latest starts that know hours, hands, clamps and setups, in one way among many; None if it gets stuck.

    by: when each operation, its run included, should be done.
    """
    moment = max(by)
    ready = [moment - due + run for due, run in zip(by, shop.runs, strict=True)]
    seen = walk(replace(reverse, ready=ready), hours_before(shop.hours, moment), priorities, [FAR] * len(by))
    if seen is None or seen.left:
        return None
    return [moment - end for end in seen.end]

"""The checker's own count of what faults of craft cost, by the words of `plan/model/problem.py` alone."""

from collections.abc import Iterator

from benchbell.plan.model.check_hours import minutes_in, shop_hours
from benchbell.plan.model.problem import Craft, Op, Placed, Plan, Problem, Window


def craft_of(problem: Problem, plan: Plan) -> int:
    """Minutes that all faults of the plan cost together; 0 where none counts."""
    if problem.craft is None:
        return 0
    ops = {op.id: op for op in problem.ops}
    placed = {p.op: p for p in plan.placed}
    times = days(problem, problem.craft)
    return sum(
        (
            *(problem.craft.torn for p in plan.placed for _ in torn_pieces(problem, times, ops[p.op], p)),
            *(problem.craft.fiddly for p in plan.placed if ops[p.op].fiddly and is_hurried(problem.craft, times, p)),
            *(problem.craft.dust for p in plan.placed if ops[p.op].dusty and is_beside_wet(problem, placed, p)),
            *(problem.craft.late_act for _ in late_acts(problem, placed)),
            *(problem.craft.visit for _ in returns(problem, plan, ops)),
        )
    )


def days(problem: Problem, craft: Craft) -> list[Window]:
    """From each opening after a long break to the closing before the next one, short breaks included."""
    found: list[Window] = []
    for window in shop_hours(problem):
        if found and window.start - found[-1].end < craft.long_break:
            found[-1] = Window(found[-1].start, window.end)
        else:
            found.append(window)
    return found


def torn_pieces(problem: Problem, times: list[Window], op: Op, p: Placed) -> Iterator[int]:
    """The minutes of each piece that is too short, of an operation that is done on several days."""
    hours = shop_hours(problem)
    pieces = [minutes_in(hours, max(p.start, day.start), min(p.end, day.end)) for day in times]
    pieces = [minutes for minutes in pieces if minutes]
    if op.breakable and len(pieces) > 1 and problem.craft:
        yield from (minutes for minutes in pieces if minutes < problem.craft.least_piece)


def is_hurried(craft: Craft, times: list[Window], p: Placed) -> bool:
    """Whether the work ends in the last minutes before closing."""
    return any(day.end - craft.last_minutes < p.end <= day.end for day in times)


def is_beside_wet(problem: Problem, placed: dict[str, Placed], p: Placed) -> bool:
    """Whether something is wet at any time of the work."""
    wet = [(placed[op.id].end, placed[op.id].end + op.wet) for op in problem.ops if op.wet and op.id != p.op]
    wet.append((problem.start, problem.wet_until))
    return any(max(p.start, since) < min(p.end, until) for since, until in wet)


def late_acts(problem: Problem, placed: dict[str, Placed]) -> Iterator[str]:
    """The operations that begin later than wanted, once for each link."""
    hours = shop_hours(problem)
    for link in problem.links:
        since, begin = placed[link.before].free + link.lag, placed[link.after].start
        waited = minutes_in(hours, since, begin) if link.wanted_open else begin - since
        if link.wanted is not None and waited > link.wanted - link.lag:
            yield link.after


def returns(problem: Problem, plan: Plan, ops: dict[str, Op]) -> Iterator[str]:
    """The operations for which somebody comes back to a station that none of the hands last worked at."""
    near = {"", *(station.id for station in problem.stations if station.near)}
    visited = [problem.here] if problem.here not in near else []
    for p in plan.placed:
        station = ops[p.op].station
        last = list(dict.fromkeys(reversed(visited)))[: problem.hands]
        if station in visited and station not in last:
            yield p.op
        if station not in near:
            visited.append(station)

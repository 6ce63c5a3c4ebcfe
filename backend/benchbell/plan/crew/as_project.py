"""The shop's problem relaxed to an RCPSP: on open time only, without setups, waits shortened to their open part.

Close enough to find good orders, which `crew_generation.py` then turns into exact times.
"""

from benchbell.plan.crew.crew_generation import Crew, able_at
from benchbell.plan.crew.project import Activity, Project
from benchbell.plan.model.hours import open_minutes
from benchbell.plan.model.problem import Problem

UNIT = 5
"""Minutes in the project's unit of time. A finer one gives no better orders, and takes longer."""


def project_of(problem: Problem, crew: Crew) -> Project:
    """The project. Activity n is operation n of the problem; runs, minimal lags and release times follow as activities.

    Resources: hands, then each station, then clamps by kind; last, each set of hands to which some work is
    confined, where hands differ. Who is away is left out. Clamps are needed by the operation that takes them, by
    the one that gives them back, and by the lag between the two; not by anything else that lies between.
    """
    compiled, kinds = crew.compiled, list(problem.clamps)
    share = open_share(crew)
    spans = {(hold.take, hold.give) for hold in problem.holds}
    held = [clamps_of(problem, op.id, kinds) for op in problem.ops]
    no_stations, no_clamps = (0,) * len(compiled.standing), (0,) * len(kinds)
    able = [able_at(crew.people, station) for station in compiled.station]
    confined = sorted({hands for hands in able if 0 < len(hands) < crew.hands}, key=sorted)
    nobody = (0,) * len(confined)
    operations: list[Activity] = []
    waits: list[Activity] = []

    def wait(minutes: int, needs: tuple[int, ...], *after: int) -> int:
        waits.append(Activity(units(minutes), needs, after))
        return len(problem.ops) + len(waits) - 1

    for i, op in enumerate(problem.ops):
        there = tuple(int(compiled.station[i] == station) for station in range(len(no_stations)))
        after = [wait(open_minutes(compiled.hours, compiled.ready[i]), (0, *no_stations, *no_clamps, *nobody))]
        for before, lag in compiled.predecessors[i]:
            clamped = held[before] if (problem.ops[before].id, op.id) in spans else no_clamps
            after.append(wait(lag * share // 100, (0, *no_stations, *clamped, *nobody), before))
        wait(op.runs * share // 100, (0, *there, *no_clamps, *nobody), i)
        hands = (int(able[i] <= one) for one in confined)
        operations.append(Activity(units(op.minutes), (1, *there, *held[i], *hands), tuple(after)))
    capacities = (crew.hands, *(1 for _ in no_stations), *problem.clamps.values(), *map(len, confined))
    return Project(capacities, (*operations, *waits))


def units(minutes: int) -> int:
    """Minutes in units, rounded up."""
    return -(-minutes // UNIT)


def open_share(crew: Crew) -> int:
    """Percent of all time, from the first opening to the last closing, that is open; at least 1."""
    opens, closes = crew.compiled.hours.opens, crew.compiled.hours.closes
    return max(1, 100 * crew.axis.length // (closes[-1] - opens[0])) if opens else 100


def clamps_of(problem: Problem, op: str, kinds: list[str]) -> tuple[int, ...]:
    """Clamps of each kind in use while the operation is done, at most as many as the shop has."""

    def in_use(kind: str) -> int:
        taken = sum(hold.count for hold in problem.holds if hold.kind == kind and hold.take == op)
        given = sum(hold.count for hold in problem.holds if hold.kind == kind and hold.give == op)
        return min(problem.clamps[kind], max(taken, given))

    return tuple(map(in_use, kinds))

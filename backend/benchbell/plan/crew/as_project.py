"""The shop's problem as a project: on open time, setups left out, waits shortened to the open part of them.

Near enough to find good orders, which `timing.py` then times to the minute.
"""

from benchbell.plan.crew.project import Activity, Project
from benchbell.plan.crew.timing import Crew
from benchbell.plan.model.hours import open_minutes
from benchbell.plan.model.problem import Problem

UNIT = 5
"""Minutes counted as one: finer gives no better orders, only slower."""


def project_of(problem: Problem, crew: Crew) -> Project:
    """Activity n is operation n of the problem; runs and waits stand after these.

    Resources: hands, then each station, then clamps by kind. What takes clamps, what gives them back and the wait
    between need them; what else lies between does not count.
    """
    shop, kinds = crew.shop, list(problem.clamps)
    share = open_share(crew)
    spans = {(hold.take, hold.give) for hold in problem.holds}
    held = [clamps_of(problem, op.id, kinds) for op in problem.ops]
    nowhere, unheld = (0,) * len(shop.standing), (0,) * len(kinds)
    own: list[Activity] = []
    rest: list[Activity] = []

    def resting(minutes: int, needs: tuple[int, ...], *after: int) -> int:
        rest.append(Activity(units(minutes), needs, after))
        return len(problem.ops) + len(rest) - 1

    for i, op in enumerate(problem.ops):
        there = tuple(int(shop.station[i] == place) for place in range(len(nowhere)))
        after = [resting(open_minutes(shop.hours, shop.ready[i]), (0, *nowhere, *unheld))]
        for before, gap in shop.befores[i]:
            clamped = held[before] if (problem.ops[before].id, op.id) in spans else unheld
            after.append(resting(gap * share // 100, (0, *nowhere, *clamped), before))
        resting(op.runs * share // 100, (0, *there, *unheld), i)
        own.append(Activity(units(op.minutes), (1, *there, *held[i]), tuple(after)))
    capacities = (crew.hands, *(1 for _ in nowhere), *problem.clamps.values())
    return Project(capacities, (*own, *rest))


def units(minutes: int) -> int:
    """Units that are begun."""
    return -(-minutes // UNIT)


def open_share(crew: Crew) -> int:
    """Percent of all time that is open."""
    opens, closes = crew.shop.hours.opens, crew.shop.hours.closes
    return max(1, 100 * crew.axis.length // (closes[-1] - opens[0])) if opens else 100


def clamps_of(problem: Problem, op: str, kinds: list[str]) -> tuple[int, ...]:
    """How many clamps of each kind are in use while it is done, as far as there are that many."""

    def counted(kind: str) -> int:
        taken = sum(hold.count for hold in problem.holds if hold.kind == kind and hold.take == op)
        given = sum(hold.count for hold in problem.holds if hold.kind == kind and hold.give == op)
        return min(problem.clamps[kind], max(taken, given))

    return tuple(map(counted, kinds))

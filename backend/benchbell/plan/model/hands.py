"""Hands that differ: when each is there, whether they differ at all, and who does what where they do not."""

from collections.abc import Iterable

from msgspec.structs import replace

from benchbell.plan.model.hours import Hours, hours_of
from benchbell.plan.model.problem import Hand, Op, Plan, Problem, Window


def hours_of_hand(problem: Problem, hand: Hand) -> Hours:
    """When the hand is there."""
    return hours_of(without(problem.windows, hand.away), problem.start)


def without(windows: Iterable[Window], away: Iterable[Window]) -> list[Window]:
    """What is left of the windows outside of others."""
    left = list(windows)
    for gone in away:
        parts = [(w.start, min(w.end, gone.start)) for w in left] + [(max(w.start, gone.end), w.end) for w in left]
        left = [Window(start, end) for start, end in parts if start < end] if gone.start < gone.end else left
    return sorted(left, key=lambda w: w.start)


def able_hands(problem: Problem, op: Op) -> list[int]:
    """Who may do the operation, by their places in the crew."""
    return [n for n, hand in enumerate(problem.crew) if op.station not in hand.unable]


def differ(problem: Problem) -> bool:
    """Whether the crew's hands differ in these windows, at the stations in use. One alone differs from nobody."""
    used = {op.station for op in problem.ops}
    hours = hours_of(problem.windows, problem.start)
    return len(problem.crew) > 1 and any(
        used.intersection(hand.unable) or hours_of_hand(problem, hand) != hours for hand in problem.crew
    )


def as_alike(problem: Problem) -> Problem:
    """The problem of a crew whose hands do not differ, for methods that know only how many there are."""
    windows = problem.windows
    if len(problem.crew) == 1:
        windows = tuple(without(windows, problem.crew[0].away))
    return replace(problem, windows=windows, crew=())


def with_hands(problem: Problem, plan: Plan) -> Plan:
    """A plan for hands that do not differ, with each operation given to the first of the crew that is free."""
    if not problem.crew:
        return plan
    free = [problem.start] * len(problem.crew)
    placed = []
    for one in plan.placed:
        hand = next((n for n, since in enumerate(free) if since <= one.setup), 0)
        if one.setup < one.end:
            free[hand] = one.end
        placed.append(replace(one, hand=hand))
    return replace(plan, placed=tuple(placed))

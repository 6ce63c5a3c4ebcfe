"""Which operations had to wait until clamps or a fixture came back, and what gave them back. Times in minutes."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterator

from msgspec import Struct

from benchbell.plan.model.hours import FAR
from benchbell.plan.model.problem import Hold
from benchbell.plan.report.timeline import Timeline


class ClampWait(Struct, frozen=True):
    """Before `until`, when `giver` ended, there were too few of these kinds of clamps or fixtures.

    others: until when there were too few of any other kind that it takes; FAR below 0 for never.
    """

    until: int
    giver: str
    kinds: tuple[str, ...]
    others: int = -FAR


class Change(Struct, frozen=True, order=True):
    """At a minute so many of a kind are taken (less than 0) or given back. left: how many are there after that."""

    minute: int
    is_taken: bool
    rank: int
    op: str
    by: int
    left: int = 0


def clamp_waits(t: Timeline) -> dict[str, ClampWait]:
    """By operation that takes clamps or fixtures of which there were too few before: what it waited for."""
    of_kind: dict[str, list[Hold]] = defaultdict(list)
    for hold in t.problem.holds:
        of_kind[hold.kind].append(hold)
    found: dict[str, list[tuple[int, str, str]]] = defaultdict(list)
    for kind, holds in of_kind.items():
        if sum(hold.count for hold in holds) > t.problem.clamps.get(kind, 0):
            for op, until, giver in waits_of(holds, t):
                found[op].append((until, giver, kind))
    return {op: last_wait(waits) for op, waits in found.items()}


def last_wait(waits: list[tuple[int, str, str]]) -> ClampWait:
    """The wait that is over last. waits: when each is over, what ends it, and the kind."""
    until, giver, _ = max(waits)
    kinds = tuple(kind for at, by, kind in waits if (at, by) == (until, giver))
    return ClampWait(until, giver, kinds, max((at for at, _, kind in waits if kind not in kinds), default=-FAR))


def waits_of(holds: list[Hold], t: Timeline) -> Iterator[tuple[str, int, str]]:
    """The waits for one kind of clamps: what waits, until when, and what gives them back then. holds: of the kind."""
    changes = changes_of(holds, t)
    for op in {hold.take for hold in holds if hold.take}:
        needed = sum(hold.count for hold in holds if hold.take == op)
        start = t.at[op].start
        own = bisect_left(changes, (start, True), key=lambda change: (change.minute, change.is_taken))
        for n in range(own - 1, -1, -1):
            change = changes[n]
            if change.by > 0 and change.op != op and change.left - change.by < needed:
                yield op, change.minute, change.op
                break


def changes_of(holds: list[Hold], t: Timeline) -> list[Change]:
    """How many clamps of a kind there are over time; what is given back at a minute comes before what is taken."""
    left = t.problem.clamps.get(holds[0].kind, 0) - sum(hold.count for hold in holds if not hold.take)
    taken = [Change(t.at[h.take].start, True, t.rank[h.take], h.take, -h.count) for h in holds if h.take]
    given = [Change(t.at[h.give].end, False, t.rank[h.give], h.give, h.count) for h in holds if h.give]
    found = []
    for change in sorted(taken + given):
        left += change.by
        found.append(Change(change.minute, change.is_taken, change.rank, change.op, change.by, left))
    return found

"""Which operations cannot be left until the next day, whatever the order: the finish or a promised date depends on it.

Judged by links and hours alone, and for a promised build by all of its work that is left. So what is said holds in any
order and for any number of hands, and much that the plan's own order would not bear is left unsaid. It is said only
where a maker could choose otherwise: where something that the plan has on a later day could be begun instead.
"""

from bisect import bisect_right
from collections import defaultdict
from itertools import accumulate

from msgspec import Struct

from benchbell.plan.model.hours import FAR, open_minutes
from benchbell.plan.report.timeline import Timeline
from benchbell.plan.search.bound import latest_starts


class NoDay(Struct, frozen=True):
    """What gets later if the operation is left until the next day: a build that is `due`, or with None the finish."""

    due: int | None = None


def no_day_to_spare(t: Timeline) -> dict[str, NoDay]:
    """By operation that cannot be left until the next day, what depends on it. Of both a promise is named."""
    finish = by_links(t, dict.fromkeys(t.ops, t.plan.finish))
    promised = by_links(t, targets(t)) if any(op.due is not None for op in t.problem.ops) else {}
    busy = without_a_free_day(t) if promised else set()
    choices = Choices(t)
    found = {}
    for one in t.plan.placed:
        tomorrow = t.next_day(one.start)
        if choices.last(one.setup) < tomorrow:
            continue
        due = t.dues.get(t.ops[one.op].piece)
        if due is not None and (one.op in busy or promised[one.op] < tomorrow < FAR):
            found[one.op] = NoDay(due)
        elif finish[one.op] < tomorrow <= t.plan.finish:
            found[one.op] = NoDay()
    return found


def targets(t: Timeline) -> dict[str, int]:
    """By operation, when it should be done: a promised build by its date, or by the plan's where that is later."""
    done = finishes(t)
    return {
        op: FAR if (due := t.dues.get(t.ops[op].piece)) is None else max(due, done[t.ops[op].piece]) for op in t.ops
    }


def finishes(t: Timeline) -> dict[str, int]:
    """By piece, when the plan has all of it done."""
    done: dict[str, int] = {}
    for one in t.plan.placed:
        piece = t.ops[one.op].piece
        done[piece] = max(done.get(piece, one.free), one.free)
    return done


def by_links(t: Timeline, due: dict[str, int]) -> dict[str, int]:
    """By operation, the latest start by links and hours, so that each is done when it is due."""
    starts = latest_starts(t.compiled, [due[id] for id in t.compiled.ids])
    return dict(zip(t.compiled.ids, starts, strict=True))


def without_a_free_day(t: Timeline) -> set[str]:
    """Operations of promised builds whose work left fills all hours from the next day to the date, and more."""
    target, hours = targets(t), t.compiled.hours
    left: dict[str, int] = defaultdict(int)
    found = set()
    for one in reversed(t.plan.placed):
        piece = t.ops[one.op].piece
        left[piece] += t.ops[one.op].minutes
        tomorrow = t.next_day(one.start)
        if piece in t.dues and tomorrow < FAR:
            room = open_minutes(hours, target[one.op]) - open_minutes(hours, tomorrow)
            if left[piece] > t.problem.hands * max(0, room):
                found.add(one.op)
    return found


class Choices:
    """What could be begun at a moment by its links, whatever the plan has then."""

    def __init__(self, t: Timeline) -> None:
        ready = sorted((ready_at(one.op, t), one.start) for one in t.plan.placed)
        self.since = [at for at, _ in ready]
        self.latest = list(accumulate((start for _, start in ready), max))

    def last(self, minute: int) -> int:
        """When the last of the operations that could be begun at that minute is begun in the plan."""
        n = bisect_right(self.since, minute)
        return self.latest[n - 1] if n else minute


def ready_at(op: str, t: Timeline) -> int:
    """When the operation could be begun by its links, in the plan's time."""
    return max([t.ops[op].ready, *(t.at[link.before].free + link.lag for link in t.coming[op])])

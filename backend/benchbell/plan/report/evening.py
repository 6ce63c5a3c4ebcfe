"""Before you go home: what can set or dry overnight if it is begun in time, with nothing later for it.

What the plan has today anyway, if it may wait until the last minutes of the day; and with one pair of hands what it has
later, if doing it tonight makes some build done sooner. Both are tried: the day is timed again with the advice
followed, and advice that makes anything later is not given. A glue-up is begun so that its squeeze-out is cleaned off
before closing too. Times in minutes.
"""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from benchbell.plan.model.hours import FAR
from benchbell.plan.model.problem import Link, Placed
from benchbell.plan.model.schedule import Schedule, objective, schedule_of
from benchbell.plan.report.timeline import Timeline
from benchbell.plan.search.serial_generation import generate_serial

WORTH_A_NIGHT = 60
"""Minutes of waiting that are worth a night. Common practice, no source."""

MOSTLY = 2 / 3
"""The share of its wait, once its squeeze-out is cleaned off, that falls into closed hours, at least. Common practice,
no source."""

MOST = 4
"""How many of today's operations are tried, the last of them first, and how many that the plan has later."""


class Tonight(Struct, frozen=True):
    """An operation to be taken up by `by`, so that it is done before closing and its wait over at `until`."""

    op: str
    by: int
    until: int


def tonight(t: Timeline, waits: Mapping[str, int], slack: Mapping[str, int]) -> list[Tonight]:
    """What to begin before going home, in the order in which it must be begun.

    waits: minutes that each operation sets or dries, for those that do. slack: by operation.
    """
    closes, opens = end_of_day(t)
    if closes == FAR:
        return []
    able = [one for one in t.plan.placed if fits_the_night(one, t, waits, opens - closes)]
    if t.problem.hands > 1:
        return by_slack([one for one in able if one.end <= closes], closes, waits, slack, t)
    return tried_out(able, closes, waits, t)


def end_of_day(t: Timeline) -> tuple[int, int]:
    """When the first day of the plan closes, and the next opens; FAR where no other day is known."""
    opens = t.next_day(t.compiled.hours.opens[0]) if t.compiled.hours.opens else FAR
    return max((end for end in t.compiled.hours.closes if end <= opens < FAR), default=FAR), opens


def fits_the_night(one: Placed, t: Timeline, waits: Mapping[str, int], night: int) -> bool:
    """True if it sets or dries for so long that the night is worth it, and is done in the morning."""
    return not t.ops[one.op].begun and WORTH_A_NIGHT <= waits.get(one.op, 0) <= night


def by_slack(
    today: Sequence[Placed], closes: int, waits: Mapping[str, int], slack: Mapping[str, int], t: Timeline
) -> list[Tonight]:
    """Those of today's operations that may wait until the last minutes, by their slack."""
    found = [at_closing(one, closes, waits, t) for one in today]
    return [
        one
        for one, it in zip(found, today, strict=True)
        if it.setup <= one.by <= it.setup + slack[it.op] and is_worth_it(one, it, closes, waits, t)
    ]


def is_worth_it(advice: Tonight, one: Placed, closes: int, waits: Mapping[str, int], t: Timeline) -> bool:
    """True if most of its wait comes after the day's close."""
    return advice.until - closes >= MOSTLY * (waits[one.op] - to_clean(one, t))


def at_closing(one: Placed, closes: int, waits: Mapping[str, int], t: Timeline) -> Tonight:
    """The operation, with its squeeze-out, done just as the day closes."""
    end = closes - to_clean(one, t)
    return Tonight(one.op, end - (one.end - one.setup), end + waits[one.op])


def cleaning(one: Placed, t: Timeline) -> Link | None:
    """The link to the cleaning of its squeeze-out, which is wanted while that is soft; None for what has none."""
    return next((link for link in t.going[one.op] if link.wanted is not None and not link.wanted_open), None)


def to_clean(one: Placed, t: Timeline) -> int:
    """Minutes from its end until its squeeze-out is cleaned off, at the soonest; 0 for what has none."""
    link = cleaning(one, t)
    return link.lag + t.ops[link.after].minutes if link else 0


def tried_out(able: Sequence[Placed], closes: int, waits: Mapping[str, int], t: Timeline) -> list[Tonight]:
    """Those with which, at the end of the day one after the other, nothing gets later, by timing the plan again."""
    plan = schedule_of(t.compiled, t.plan)
    today = [one for one in able if one.end <= closes][-MOST:]
    later = [one for one in able if one.start >= closes][:MOST]
    chosen: list[Placed] = []
    found: list[Tonight] = []
    for one in [*reversed(today), *later]:
        advice = at_closing(one, found[-1].by if found else closes, waits, t)
        if not is_worth_it(advice, one, closes, waits, t):
            continue
        tried = at_the_end_of_day([one, *chosen], plan, closes, t)
        if tried and not is_later(plan, tried, t) and (one in today or is_sooner(plan, tried, t)):
            chosen = [one, *chosen]
            found.append(advice)
    return found[::-1]


def at_the_end_of_day(last: Sequence[Placed], plan: Schedule, closes: int, t: Timeline) -> Schedule | None:
    """The plan with these as the last things of the day, done as it closes; None where that cannot be."""
    starts, at = {}, closes
    for one in reversed(last):
        end = at - to_clean(one, t)
        if link := cleaning(one, t):
            starts[t.number[link.after]] = end + link.lag
        starts[t.number[one.op]] = end - (one.end - one.start)
        at = end - (one.end - one.setup)
    numbers = list(reversed(starts))
    rest = [i for i in plan.order if i not in starts]
    place = sum(plan.end[i] <= closes for i in rest)
    tried = generate_serial(t.compiled, [*rest[:place], *numbers, *rest[place:]], starts)
    return tried if tried and all(tried.end[i] <= closes for i in numbers) else None


def is_later(plan: Schedule, tried: Schedule, t: Timeline) -> bool:
    """True if anything that counts is worse: overrun, tardiness, or when any piece is done."""
    was, now = pieces_done(plan, t), pieces_done(tried, t)
    before, after = objective(t.compiled, plan)[:2], objective(t.compiled, tried)[:2]
    return any(b > a for a, b in zip(before, after, strict=True)) or any(now[piece] > at for piece, at in was.items())


def is_sooner(plan: Schedule, tried: Schedule, t: Timeline) -> bool:
    """True if some piece is done sooner."""
    was = pieces_done(plan, t)
    return any(at < was[piece] for piece, at in pieces_done(tried, t).items())


def pieces_done(schedule: Schedule, t: Timeline) -> dict[int, int]:
    """By piece, when it is done."""
    done: dict[int, int] = {}
    for piece, end, runs in zip(t.compiled.piece, schedule.end, t.compiled.runs, strict=True):
        done[piece] = max(done.get(piece, 0), end + runs)
    return done

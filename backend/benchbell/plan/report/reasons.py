"""Why each task is done when it is, in a sentence for the maker, and why not earlier."""

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence

from msgspec import Struct

from benchbell.bench.unclamped import is_unclamped
from benchbell.plan.model.problem import Hold, Link, Op, Placed, Plan, Problem, Window
from benchbell.plan.tasks.from_builds import BuildsProblem
from benchbell.plan.tasks.task import Task
from benchbell.recipe.measure import TIME, show

Say = Callable[[int, int], str]
"""Words for a minute of the problem, as said at another minute: "14:10" on the same day, else "Fri 08:00"."""

WORTH_A_WAIT = 30
"""Minutes from which on a wait is worth filling with other work. Common practice, no source."""

EVENING = 3 * 60
"""Work that ends in the last so many minutes of a day may be said to set overnight. Common practice, no source."""


class Context(Struct, frozen=True):
    """A plan, with everything that a reason depends on, by operation of the problem. Times in minutes.

    at: its times; rank: its place in the order. coming, going: links to it and from it. waits: the waits worth
    filling, as (end, start, the operation that waits). fixtures: titles, by kind of the problem's holds. gates: what
    a task waits for that nobody can plan, as a sentence.
    """

    problem: Problem
    tasks: Mapping[str, Task]
    order: Sequence[Placed]
    slack: Mapping[str, int]
    say: Say
    ops: Mapping[str, Op]
    at: Mapping[str, Placed]
    rank: Mapping[str, int]
    coming: Mapping[str, list[Link]]
    going: Mapping[str, list[Link]]
    waits: Sequence[tuple[int, int, str]]
    fixtures: Mapping[str, str]
    gates: Mapping[str, str]


def context(source: BuildsProblem, plan: Plan, slack: Mapping[str, int], say: Say) -> Context:
    """The context of a plan, its tables built once. slack: minutes by operation."""
    problem = source.problem
    coming: dict[str, list[Link]] = defaultdict(list)
    going: dict[str, list[Link]] = defaultdict(list)
    for link in problem.links:
        coming[link.after].append(link)
        going[link.before].append(link)
    order = plan.placed
    at = {placed.op: placed for placed in order}
    waits = sorted(
        (at[link.before].free + link.lag, at[link.before].end, link.after)
        for link in problem.links
        if link.lag >= WORTH_A_WAIT
    )
    return Context(
        problem=problem,
        tasks=source.tasks,
        order=order,
        slack=slack,
        say=say,
        ops={op.id: op for op in problem.ops},
        at=at,
        rank={placed.op: n for n, placed in enumerate(order)},
        coming=coming,
        going=going,
        waits=waits,
        fixtures=source.fixtures,
        gates=source.gates,
    )


def reason(one: Placed, c: Context) -> str:
    """What it waits for that nobody can plan; why then; and where that does not say it already, why not earlier."""
    why = next(text for rule in RULES if (text := rule(one, c)))
    later = why_not_earlier(one, c) if c.rank[one.op] and c.tasks[one.op].act == "work" else ""
    return " ".join(filter(None, (c.gates.get(one.op, ""), why, later if later not in why else "")))


def in_hand(one: Placed, c: Context) -> str:
    """It is begun, and begun tasks come first."""
    if not c.ops[one.op].begun:
        return ""
    if c.tasks[one.op].act == "work":
        return "In hand: finish it first."
    return f"The {'glue has set' if is_unclamped(c.tasks[one.op].operation) else 'clamps are off'}: finish it."


def squeeze_out(one: Placed, c: Context) -> str:
    """Until when the squeeze-out of its glue-up is rubbery; that it is hard by then."""
    if c.tasks[one.op].act != "squeeze-out":
        return ""
    limits = [c.at[link.before].free + link.wanted for link in c.coming[one.op] if link.wanted is not None]
    limits += [by for by in (c.ops[one.op].by,) if by is not None]
    if limits and one.start <= min(limits):
        return f"The squeeze-out is rubbery until {c.say(min(limits), one.start)}."
    return "The squeeze-out is hard by then: scrape it off."


def in_time(one: Placed, c: Context) -> str:
    """A maximal lag or a latest start limits when it may start."""
    limits = [c.at[link.before].free + link.most for link in c.coming[one.op] if link.most is not None]
    limits += [by for by in (c.ops[one.op].by,) if by is not None]
    return (
        f"Begin by {c.say(min(limits), one.start)}: after that the wait before it has been too long." if limits else ""
    )


def clamps_off(one: Placed, c: Context) -> str:
    """When its clamps may come off, and which glue-up waits for them; without clamps, when its glue has set."""
    if c.tasks[one.op].act != "clamps-off":
        return ""
    waiting = waits_for_what_it_gives(one, c)
    since = max((c.at[link.before].free + link.lag for link in c.coming[one.op]), default=c.ops[one.op].ready)
    if is_unclamped(c.tasks[one.op].operation):
        return f"Leave it until the glue has set{f': not before {c.say(since, one.start)}' if since > 0 else ''}."
    free = f"The clamps may come off from {c.say(since, one.start)}" if since > 0 else "The clamps may come off"
    if waiting is None or not is_short(waiting, c):
        return f"{free}."
    what = f"“{c.fixtures[waiting.kind]}”" if waiting.kind in c.fixtures else "them"
    return f"{free}, and “{title(waiting.take, c)}” waits for {what}."


def frees_fixture(one: Placed, c: Context) -> str:
    """Work that frees a fixture which something else waits for."""
    waiting = waits_for_what_it_gives(one, c)
    if waiting is None or waiting.kind not in c.fixtures or not is_short(waiting, c):
        return ""
    return f"Frees “{c.fixtures[waiting.kind]}”, and “{title(waiting.take, c)}” waits for it."


def waits_for_what_it_gives(one: Placed, c: Context) -> Hold | None:
    """The first later hold on clamps or a fixture that it gives back, of those that something else took; or None."""
    given = {hold.kind for hold in c.problem.holds if hold.give == one.op != hold.take}
    later = (hold for other in c.order[c.rank[one.op] + 1 :] for hold in takes(other.op, c))
    return next((hold for hold in later if hold.kind in given), None)


def over_night(one: Placed, c: Context) -> str:
    """It starts a wait that runs on overnight, so that it costs no working hours."""
    wait = longest_wait(one, c)
    closes = window_of(one.end, c.problem.windows).end
    if wait < WORTH_A_WAIT or one.free + wait <= closes or closes - one.end > EVENING:
        return ""
    return f"Sets while you are away: its wait of {duration(wait)} ends {c.say(one.free + wait, one.start)}."


def same_setup(one: Placed, c: Context) -> str:
    """Its station has the right setup already."""
    op = c.ops[one.op]
    if not op.setup:
        return ""
    row = [p for p in c.order if c.ops[p.op].station == op.station and c.ops[p.op].setup]
    n = row.index(one)
    before = 0
    while n - before > 0 and c.ops[row[n - before - 1].op].setup == op.setup:
        before += 1
    if before > 1:
        return f"Same setup at the {op.station} as the last {before}."
    if before or stands_already(op, c):
        return f"The {op.station} is set for it already."
    return ""


def starts_a_wait(one: Placed, c: Context) -> str:
    """It starts a long wait."""
    wait = longest_wait(one, c)
    return f"Starts a wait of {duration(wait)}: the sooner, the better." if wait >= WORTH_A_WAIT else ""


def fills_a_wait(one: Placed, c: Context) -> str:
    """It is done while something else waits that can go on in the same window of hours."""
    closes = window_of(one.end, c.problem.windows).end
    for until, since, after in c.waits:
        if since <= one.setup and one.end <= until < closes:
            return f"Fits into the wait until “{title(after, c)}” at {c.say(until, one.start)}."
    return ""


def critical(one: Placed, c: Context) -> str:
    """It is critical: it has no slack."""
    return "The finish depends on it." if c.slack.get(one.op, 1) == 0 else ""


def next_waits(one: Placed, c: Context) -> str:
    """Which task waits for it. Always says something, so it is the last rule."""
    after = min((c.rank[link.after] for link in c.going[one.op]), default=None)
    return "Nothing waits for it." if after is None else f"“{title(c.order[after].op, c)}” waits for it."


RULES = (
    in_hand, squeeze_out, in_time, clamps_off, frees_fixture, over_night, same_setup, starts_a_wait, fills_a_wait,
    critical, next_waits,
)  # fmt: skip
"""Rules in the order in which they are tried: the first that gives a sentence, not "", is used."""


def why_not_earlier(one: Placed, c: Context) -> str:
    """What keeps it from starting earlier: a minimal lag, clamps, or the hours; "" if hands were busy until then."""
    waited = [link for link in c.coming[one.op] if link.lag and c.at[link.before].free + link.lag >= one.start]
    before = c.order[c.rank[one.op] - 1]
    if waited:
        return f"Not before {c.say(one.start, one.start)}: “{title(waited[0].before, c)}” has to wait until then."
    if one.setup == window_of(one.end, c.problem.windows).start:
        return "It is the first thing of the day."
    if fixture := fixture_freed(before, one, c):
        return f"Not sooner: “{fixture}” was taken until {c.say(before.end, one.start)}."
    if one.setup <= before.end:
        return ""
    if any(hold.kind not in c.fixtures for hold in takes(one.op, c)):
        return "Not sooner: it waits for clamps."
    return "Not sooner: it would not be done by closing time." if one.setup > before.end + WORTH_A_WAIT else ""


def fixture_freed(before: Placed, one: Placed, c: Context) -> str:
    """The title of a fixture that one task takes as soon as another has freed it; "" where there is none."""
    freed = {hold.kind for hold in c.problem.holds if hold.give == before.op != hold.take}
    return next((c.fixtures[h.kind] for h in takes(one.op, c) if h.kind in freed and h.kind in c.fixtures), "")


def takes(op: str, c: Context) -> list[Hold]:
    """The clamps and fixtures that the operation takes."""
    return [hold for hold in c.problem.holds if hold.take == op]


def is_short(hold: Hold, c: Context) -> bool:
    """True if the shop has too few of such clamps or fixtures for everything at once."""
    return sum(other.count for other in c.problem.holds if other.kind == hold.kind) > c.problem.clamps[hold.kind]


def stands_already(op: Op, c: Context) -> bool:
    """True if its station has its setup from the beginning."""
    return any(station.id == op.station and station.standing == op.setup for station in c.problem.stations)


def longest_wait(one: Placed, c: Context) -> int:
    """Minutes of the longest minimal lag that it starts."""
    return max((link.lag for link in c.going[one.op]), default=0)


def window_of(minute: int, windows: Sequence[Window]) -> Window:
    """The window in which something ends at that minute; the last one if none does."""
    return next((w for w in windows if w.start < minute <= w.end), windows[-1])


def title(op: str, c: Context) -> str:
    """The task in words, with its piece."""
    task = c.tasks[op]
    acts = {
        "squeeze-out": ": squeeze-out",
        "clamps-off": ": glue set" if is_unclamped(task.operation) else ": clamps off",
    }
    words = task.operation.title + acts.get(task.act, "")
    return f"{words}, {task.piece}" if task.piece else words


def duration(minutes: int) -> str:
    """As "1 h 30 min"."""
    return show(minutes, TIME, "mm")

"""Why a task is done when it is, in few words, and only where that could change a maker's mind.

What is said is worked out from the plan as it stands (`timeline.py`): what keeps the task (`earlier.py`), what depends
on it (`no_day_to_spare.py`), what it frees (`clamp_waits.py`), what its station is set to (`set_now.py`). A task that
simply comes next has no reason, and none is made up.
"""

from collections.abc import Container, Mapping, Sequence

from benchbell.bench.unclamped import is_unclamped
from benchbell.plan.model.hours import open_minutes
from benchbell.plan.model.problem import Placed
from benchbell.plan.report.clamp_waits import clamp_waits
from benchbell.plan.report.closed import closed_words, closing_around
from benchbell.plan.report.context import Context, Say
from benchbell.plan.report.craft_keeps import dust
from benchbell.plan.report.deadlines import deadline
from benchbell.plan.report.earlier import kept
from benchbell.plan.report.kept_in_words import KEPT_WORDS, kinds_in_words
from benchbell.plan.report.no_day_to_spare import NoDay, no_day_to_spare
from benchbell.plan.report.running_waits import running_waits
from benchbell.plan.report.set_now import set_now
from benchbell.plan.report.timeline import Timeline
from benchbell.plan.report.waits_in_words import title, titles
from benchbell.plan.tasks.from_builds import BuildsProblem
from benchbell.plan.tasks.task import SQUEEZE_OUT_MINUTES, OpenBuild

WORTH_TELLING = 30
"""Open minutes by which clamps may come off before their time in the plan, that are worth a word. Common practice, no
source."""

WORTH_LEAVING = 120
"""Open minutes by which something may be left for another day, that are worth a word. Common practice, no source."""


def context(
    source: BuildsProblem, builds: Sequence[OpenBuild], t: Timeline, slack: Mapping[str, int], say: Say
) -> Context:
    """The context of a plan, its tables built once. slack: minutes by operation."""
    clamps = clamp_waits(t)
    keeping = {one.op: found for one in t.plan.placed if (found := kept(one, t, clamps.get(one.op)))}
    return Context(
        t=t,
        tasks=source.tasks,
        names={build.id: build.name for build in builds},
        say=say,
        slack=slack,
        fixtures=source.fixtures,
        gates=source.gates,
        waiting={found.ops[0]: op for op, found in reversed(keeping.items()) if found.what == "clamps"},
        no_day=first_of_each_day(no_day_to_spare(t), t),
        set_now=set_now(t),
        first_to_leave=first_to_leave(t, slack, {op for op, task in source.tasks.items() if task.act == "work"}),
        kept=keeping,
        running=running_waits(source.tasks, builds),
    )


def reason(one: Placed, c: Context) -> str:
    """What it waits for that nobody can plan, why then and not earlier, until when it may be left, and what it spoils.

    "" for none of these.
    """
    why = next((text for rule in RULES if (text := rule(one, c))), "")
    later = "" if c.t.ops[one.op].begun or is_soft(one, c) else why_not_earlier(one, c)
    return " ".join(filter(None, (c.gates.get(one.op, ""), why, later, left_for_later(one, c), its_dust(one, c))))


def in_hand(one: Placed, c: Context) -> str:
    """It is begun, and begun tasks come first."""
    if not c.t.ops[one.op].begun:
        return ""
    if c.tasks[one.op].act == "work":
        return "In hand: finish it first."
    return f"The {'glue has set' if is_unclamped(c.tasks[one.op].operation) else 'clamps are off'}: finish it."


def squeeze_out(one: Placed, c: Context) -> str:
    """Until when the squeeze-out of its glue-up is rubbery, and from when, or that it is hard."""
    if c.tasks[one.op].act != "squeeze-out":
        return ""
    found, limits = c.kept.get(one.op), soft_until(one, c)
    waits = found is not None and found.what in ("wait", "clock")
    if not is_soft(one, c):
        if found and waits and (closed := closed_words(found.until, c)):
            return f"The squeeze-out is rubbery {closed}, and hard by then: scrape it off."
        return "The squeeze-out is hard by then: scrape it off."
    begins = f" from {c.say(found.until, one.start)}" if found and waits else ""
    hard = min(limits) + SQUEEZE_OUT_MINUTES
    closing = closing_around(hard, c.t)
    if closing and closing[0] < hard:
        by = c.say(closing[0], one.start)
        return f"The squeeze-out is rubbery{begins}: clean it off by {by}, before the shop closes."
    return f"The squeeze-out is rubbery{begins} {'to' if begins else 'until'} {c.say(hard, one.start)}."


def soft_until(one: Placed, c: Context) -> list[int]:
    """The latest starts at which squeeze-out is still soft to the end of cleaning, by each rule that says so."""
    limits = [c.t.at[link.before].free + link.wanted for link in c.t.coming[one.op] if link.wanted is not None]
    return limits + [by for by in (c.t.ops[one.op].by,) if by is not None]


def is_soft(one: Placed, c: Context) -> bool:
    """True if it cleans squeeze-out that is still soft."""
    limits = soft_until(one, c) if c.tasks[one.op].act == "squeeze-out" else []
    return bool(limits) and one.start <= min(limits)


def in_time(one: Placed, c: Context) -> str:
    """A maximal lag or a latest start that does not let it wait until the next day."""
    found = deadline(one, c.t)
    if found is None:
        return ""
    by, what = c.say(found.by, one.start), f"“{title(found.before, c.tasks)}”" if found.before else "what comes before"
    if found.by < one.start:
        return f"Late: {what} must not wait beyond {by}."
    return f"Begin by {by}: {what} must not wait longer."


def may_come_off(one: Placed, c: Context) -> str:
    """That clamps may come off well before the plan has it: from when the glue has set."""
    if c.tasks[one.op].act == "work" or is_unclamped(c.tasks[one.op].operation):
        return ""
    since = max([c.t.ops[one.op].ready, *(c.t.at[x.before].free + x.lag for x in c.t.coming[one.op] if x.lag)])
    hours = c.t.compiled.hours
    if open_minutes(hours, one.start) - open_minutes(hours, since) < WORTH_TELLING:
        return ""
    return f"May come off from {c.say(since, one.start)}." if since > 0 else "May come off at once."


def frees(one: Placed, c: Context) -> str:
    """It gives back clamps, or frees a fixture, for which something else waits."""
    waiting = c.waiting.get(one.op)
    if waiting is None:
        return ""
    return f"“{title(waiting, c.tasks)}” waits for {kinds_in_words(c.kept[waiting].kinds, c)}."


def not_a_day_later(one: Placed, c: Context) -> str:
    """A promised date or the finish depends on its being done on this day."""
    no_day = c.no_day.get(one.op)
    if no_day is None:
        return ""
    if no_day.due is None:
        return "Not a day later, or the build is done later."
    build = c.tasks[one.op].build
    is_or_was = "is" if no_day.due >= one.start else "was"
    return f"Not a day later: “{c.names[build]}” {is_or_was} promised for {c.say(no_day.due, one.start)}."


def stands(one: Placed, c: Context) -> str:
    """Its station is set for it, and would have to be set again later."""
    return f"While the {c.t.ops[one.op].station} is set for it." if one.op in c.set_now else ""


RULES = (in_hand, squeeze_out, in_time, frees, may_come_off, not_a_day_later, stands)
"""Rules in the order in which they are tried: the first that gives a sentence, not "", is used."""


def why_not_earlier(one: Placed, c: Context) -> str:
    """What keeps it from starting earlier; "" where nothing does, or more than one thing."""
    found = c.kept.get(one.op)
    if c.tasks[one.op].act == "squeeze-out" and found and found.what in ("wait", "clock"):
        return ""  # said by `squeeze_out`
    return KEPT_WORDS[found.what](one, found, c) if found else ""


def left_for_later(one: Placed, c: Context) -> str:
    """Until when it may be left, with what follows it in its build, where that is another day. The first says so.

    Less changes nobody's mind, and the order tells it.
    """
    if one.op not in c.first_to_leave:
        return ""
    following = ", with what follows it" if c.t.going[one.op] else ""
    return f"May be left until {c.say(one.setup + c.slack[one.op], one.setup)}{following}."


def its_dust(one: Placed, c: Context) -> str:
    """That the plan has it throw dust while something is wet, and what to do about that."""
    craft = c.t.compiled.craft
    if craft is None or not craft.costs.dust:
        return ""
    found = next((it for it in dust(one.op, one.start, one.end, craft, c.t) if it.what == "dust"), None)
    if found is None:
        return ""
    what = titles(found.ops, c.tasks) if found.ops else "a coat"
    return f"Dust: {what} is wet until {c.say(found.until, one.setup)}. Carry it out or cover it first."


def first_of_each_day(no_day: Mapping[str, NoDay], t: Timeline) -> dict[str, NoDay]:
    """Of what bears no delay, the first of each build on each day: what follows it there needs no word."""
    found: dict[tuple[str, int, NoDay], str] = {}
    for one in t.plan.placed:
        if one.op in no_day:
            found.setdefault((t.ops[one.op].piece, t.next_day(one.start), no_day[one.op]), one.op)
    return {op: no_day[op] for op in found.values()}


def first_to_leave(t: Timeline, slack: Mapping[str, int], work: Container[str]) -> frozenset[str]:
    """Operations that may be left until another day, where the one before in their build may not.

    work: those that are no act of a glue-up's own, such as taking its clamps off, which nobody plans to leave.
    """
    last: dict[str, bool] = {}
    found = set()
    for one in t.plan.placed:
        op = t.ops[one.op]
        if one.setup == one.end or one.op not in work:
            continue
        latest = one.setup + slack[one.op]
        gained = open_minutes(t.compiled.hours, latest) - open_minutes(t.compiled.hours, one.setup)
        may = latest >= t.next_day(one.setup) and gained >= WORTH_LEAVING and not op.begun
        if may and not last.get(op.piece):
            found.add(one.op)
        last[op.piece] = may
    return frozenset(found)

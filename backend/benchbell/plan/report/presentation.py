"""From a plan in minutes to one that is told: moments, titles, reasons, and what to begin before going home."""

from collections.abc import Callable, Iterable, Mapping, Sequence

from benchbell.durations import MINUTE_MS
from benchbell.plan.model.problem import Op, Placed, Plan, Window
from benchbell.plan.report.forecast import forecasts
from benchbell.plan.report.messages import Evening, PlanTold, Step, Unplanned
from benchbell.plan.report.reasons import Context, context, longest, reason, time, title
from benchbell.plan.tasks.from_builds import Posed
from benchbell.plan.tasks.task import OpenBuild, wait_of

LONGEST_PAUSE = 5 * 60
"""A longer gap between two stretches of hours is a night."""

LONG_ENOUGH = 60
"""Minutes of waiting that are worth being moved into the night. Common practice, no source."""


def tell(
    posed: Posed,
    plan: Plan,
    slack: Mapping[str, int],
    builds: Sequence[OpenBuild],
    now: int,
    say: Callable[[int, int], str],
    unplanned: Iterable[Unplanned] = (),
    shares: Sequence[float] = (),
) -> PlanTold:
    """The plan told. say: a moment in ms as one says it at another; shares: real over planned times."""

    def moment(minute: int) -> int:
        return now + minute * MINUTE_MS

    c = context(posed.problem, posed.acts, plan, slack, lambda minute, at: say(moment(minute), moment(at)))
    changed = changes(plan.placed, c)
    return PlanTold(
        made_at=now,
        start=now,
        hours=tuple((moment(w.start), moment(w.end)) for w in used(posed.problem.windows, plan.finish)),
        steps=tuple(step(one, c, moment, one.op in changed) for one in plan.placed),
        evening=tuple(evening(c, moment)),
        forecasts=forecasts(posed, plan, builds, moment, shares),
        unplanned=(*posed.unplanned, *unplanned),
        finish=moment(plan.finish),
        changes=plan.changes,
        bound=moment(plan.bound),
        overrun_ms=plan.overrun * MINUTE_MS,
        late_ms=plan.late * MINUTE_MS,
    )


def used(windows: Sequence[Window], finish: int) -> list[Window]:
    """The hours up to the finish."""
    return [window for window in windows if window.start <= finish]


def step(one: Placed, c: Context, moment: Callable[[int], int], is_changed: bool) -> Step:
    """One act told."""
    act = c.acts[one.op]
    op = act.operation
    return Step(
        build=act.build,
        operation=op.id,
        act=act.act,
        piece=act.piece,
        title=op.title,
        station=op.station,
        setup=op.setup or "",
        changes=is_changed,
        setup_at=moment(one.setup),
        start=moment(one.start),
        end=moment(one.end),
        free=moment(one.free),
        clamps={hold.kind: hold.count for hold in c.problem.holds if one.op in (hold.take, hold.give)},
        slack_ms=c.slack.get(one.op, 0) * MINUTE_MS,
        reason=reason(one, c),
    )


def changes(order: Sequence[Placed], c: Context) -> set[str]:
    """Acts for which a station is set anew."""
    standing = {station.id: station.standing for station in c.problem.stations}
    found = set()
    for one in order:
        op: Op = c.ops[one.op]
        if op.setup and standing.get(op.station) != op.setup:
            standing[op.station] = op.setup
            found.add(one.op)
    return found


def evening(c: Context, moment: Callable[[int], int]) -> list[Evening]:
    """Today's glue-ups and coats whose wait runs on after closing: begun by then, the night does the waiting.

    The last of them may be begun latest, those before it so that there is time for all.
    """
    closes = last_of_day(c.problem.windows)
    found: list[Evening] = []
    by = closes
    for one in reversed([one for one in c.order if one.end <= closes and sets_overnight(one, c, closes)]):
        by -= one.end - one.setup
        found.append(told_evening(one, c, max(0, by - one.setup), moment))
    return found[::-1]


def sets_overnight(one: Placed, c: Context, closes: int) -> bool:
    """Whether a wait that is worth it runs on after closing."""
    wait = longest(one, c)
    return c.acts[one.op].act == "work" and wait >= LONG_ENOUGH and one.free + wait > closes


def told_evening(one: Placed, c: Context, later: int, moment: Callable[[int], int]) -> Evening:
    """One of them told. later: so many minutes after its place in the plan it may still be begun."""
    act, wait = c.acts[one.op], longest(one, c)
    over = one.free + wait + later
    words = "Cures" if wait_of(act.operation, "in-clamps") else "Dries"
    return Evening(
        build=act.build,
        operation=act.operation.id,
        title=title(one.op, c),
        by=moment(one.setup + later),
        until=moment(over),
        reason=f"{words} overnight: {time(wait)}, until {c.say(over, 0)}.",
    )


def last_of_day(windows: Sequence[Window]) -> int:
    """When hands stop for the night: the end of the last stretch before a gap of half a day or so."""
    closes = windows[0].end
    for window in windows[1:]:
        if window.start - closes > LONGEST_PAUSE:
            break
        closes = window.end
    return closes

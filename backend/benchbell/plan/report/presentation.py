"""From a plan in minutes to one that people read: moments, titles, reasons, and what to begin before going home."""

from collections.abc import Callable, Iterable, Mapping, Sequence

from benchbell.bench.unclamped import is_unclamped
from benchbell.durations import MINUTE_MS
from benchbell.plan.model.problem import Op, Placed, Plan, Window
from benchbell.plan.odds.pace import UNTIMED, Pace
from benchbell.plan.report.forecast import forecasts
from benchbell.plan.report.messages import Evening, PlannedTask, PresentedPlan
from benchbell.plan.report.reasons import Context, context, duration, longest_wait, reason, title
from benchbell.plan.tasks.from_builds import BuildsProblem
from benchbell.plan.tasks.task import OpenBuild, Unplanned, clock_spec

LONGEST_PAUSE = 5 * 60
"""Minutes between two stretches of hours beyond which the gap counts as a night."""

WORTH_OVERNIGHT = 60
"""Minutes of waiting that are worth moving into the night. Common practice, no source."""


def present(
    source: BuildsProblem,
    plan: Plan,
    slack: Mapping[str, int],
    builds: Sequence[OpenBuild],
    now: int,
    say: Callable[[int, int], str],
    unplanned: Iterable[Unplanned] = (),
    pace: Pace = UNTIMED,
) -> PresentedPlan:
    """The plan presented. slack: minutes by operation. now: server time in ms. say, pace: as in `PlanRequest`.

    Raises KeyError where the plan has an operation that is not among the tasks.
    """

    def moment(minute: int) -> int:
        return now + minute * MINUTE_MS

    c = context(source, plan, slack, lambda minute, at: say(moment(minute), moment(at)))
    changed = with_changes(plan.placed, c)
    return PresentedPlan(
        made_at=now,
        start=now,
        hours=tuple((moment(w.start), moment(w.end)) for w in used_hours(source.problem.windows, plan.finish)),
        steps=tuple(planned_task(one, c, moment, one.op in changed) for one in plan.placed),
        evening=tuple(evening(c, moment)),
        forecasts=forecasts(source, plan, builds, moment, pace),
        unplanned=(*source.unplanned, *unplanned),
        finish=moment(plan.finish),
        changes=plan.changes,
        bound=moment(plan.bound),
        overrun_ms=plan.overrun * MINUTE_MS,
        late_ms=plan.late * MINUTE_MS,
    )


def used_hours(windows: Sequence[Window], finish: int) -> list[Window]:
    """The windows up to the finish."""
    return [window for window in windows if window.start <= finish]


def planned_task(one: Placed, c: Context, moment: Callable[[int], int], is_changed: bool) -> PlannedTask:
    """One task presented. moment: a minute of the problem to server time in ms. is_changed: its setup is changed."""
    task = c.tasks[one.op]
    op = task.operation
    held = [hold for hold in c.problem.holds if one.op in (hold.take, hold.give)]
    return PlannedTask(
        build=task.build,
        operation=op.id,
        act=task.act,
        piece=task.piece,
        title=op.title,
        station=op.station,
        setup=op.setup or "",
        changes=is_changed,
        setup_at=moment(one.setup),
        start=moment(one.start),
        end=moment(one.end),
        free=moment(one.free),
        clamps={hold.kind: hold.count for hold in held if hold.kind not in c.fixtures},
        slack_ms=c.slack.get(one.op, 0) * MINUTE_MS,
        reason=reason(one, c),
        fixtures={c.fixtures[hold.kind]: hold.count for hold in held if hold.kind in c.fixtures},
        unclamped=is_unclamped(op),
    )


def with_changes(order: Sequence[Placed], c: Context) -> set[str]:
    """The operations before which a station's setup is changed."""
    standing = {station.id: station.standing for station in c.problem.stations}
    found = set()
    for one in order:
        op: Op = c.ops[one.op]
        if op.setup and standing.get(op.station) != op.setup:
            standing[op.station] = op.setup
            found.add(one.op)
    return found


def evening(c: Context, moment: Callable[[int], int]) -> list[Evening]:
    """Today's tasks whose wait runs on after closing, so that it costs no working hours; in the plan's order.

    The last of them may start latest; those before it must leave time for the others.
    """
    closes = end_of_day(c.problem.windows)
    found: list[Evening] = []
    by = closes
    for one in reversed([one for one in c.order if one.end <= closes and waits_overnight(one, c, closes)]):
        by -= one.end - one.setup
        found.append(evening_task(one, c, max(0, by - one.setup), moment))
    return found[::-1]


def waits_overnight(one: Placed, c: Context, closes: int) -> bool:
    """True if the task starts a wait that is long enough and runs on after closing."""
    wait = longest_wait(one, c)
    return c.tasks[one.op].act == "work" and wait >= WORTH_OVERNIGHT and one.free + wait > closes


def evening_task(one: Placed, c: Context, later: int, moment: Callable[[int], int]) -> Evening:
    """One task for the evening. later: minutes by which it may start after its time in the plan."""
    task, wait = c.tasks[one.op], longest_wait(one, c)
    over = one.free + wait + later
    words = "Cures" if clock_spec(task.operation, "in-clamps") else "Dries"
    return Evening(
        build=task.build,
        operation=task.operation.id,
        title=title(one.op, c),
        by=moment(one.setup + later),
        until=moment(over),
        reason=f"{words} overnight: {duration(wait)}, until {c.say(over, 0)}.",
    )


def end_of_day(windows: Sequence[Window]) -> int:
    """When the first day ends: at the end of the last window before a gap that counts as a night. In minutes."""
    closes = windows[0].end
    for window in windows[1:]:
        if window.start - closes > LONGEST_PAUSE:
            break
        closes = window.end
    return closes

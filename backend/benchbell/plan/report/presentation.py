"""From a plan in minutes to one that people read: moments, titles, reasons, and what to begin before going home."""

from collections.abc import Callable, Iterable, Sequence

from benchbell.bench.unclamped import is_unclamped
from benchbell.durations import MINUTE_MS
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Op, Placed, Plan, Window
from benchbell.plan.odds.pace import UNTIMED, Pace, of_builds
from benchbell.plan.report.context import Context
from benchbell.plan.report.evening import Tonight, tonight
from benchbell.plan.report.forecast import forecasts
from benchbell.plan.report.messages import Evening, PlannedTask, PresentedPlan
from benchbell.plan.report.reasons import context, reason
from benchbell.plan.report.timeline import timeline_of
from benchbell.plan.report.too_late import too_late
from benchbell.plan.report.waits_in_words import quiet, title
from benchbell.plan.search.slack import slack
from benchbell.plan.tasks.from_builds import BuildsProblem
from benchbell.plan.tasks.task import OpenBuild, Task, Unplanned

SLOW_COAT = 120
"""Minutes from which on a coat's drying is worth a night. Common practice, no source."""


def present(
    source: BuildsProblem,
    plan: Plan,
    builds: Sequence[OpenBuild],
    now: int,
    say: Callable[[int, int], str],
    unplanned: Iterable[Unplanned] = (),
    pace: Pace = UNTIMED,
) -> PresentedPlan:
    """The plan presented. now: server time in ms. say, pace: as in `PlanRequest`.

    Raises KeyError where the plan has an operation that is not among the tasks.
    """

    def moment(minute: int) -> int:
        return now + minute * MINUTE_MS

    c = context_of(source, plan, builds, lambda minute, at: say(moment(minute), moment(at)))
    changed = with_changes(plan.placed, c)
    left_out = (*source.unplanned, *unplanned)
    return PresentedPlan(
        made_at=now,
        start=now,
        hours=tuple((moment(w.start), moment(w.end)) for w in used_hours(source.problem.windows, plan.finish)),
        steps=tuple(planned_task(one, c, moment, one.op in changed) for one in plan.placed),
        evening=tuple(evening(one, c, moment) for one in tonight(c.t, overnight_waits(c), c.slack)),
        forecasts=forecasts(source, plan, builds, moment, pace, left_out),
        unplanned=left_out,
        finish=moment(plan.finish),
        changes=plan.changes,
        bound=moment(plan.bound),
        overrun_ms=plan.overrun * MINUTE_MS,
        late_ms=plan.late * MINUTE_MS,
        too_late=too_late(c) if plan.overrun else (),
        pace=of_builds(pace, {build.id for build in builds}) if pace.timed else None,
    )


def context_of(
    source: BuildsProblem, plan: Plan, builds: Sequence[OpenBuild], say: Callable[[int, int], str]
) -> Context:
    """What the reasons depend on. say: words for a minute of the problem, as said at another."""
    compiled = compile_problem(source.problem)
    later = slack(source.problem, compiled, plan)
    return context(source, builds, timeline_of(source.problem, compiled, plan), later, say)


def used_hours(windows: Sequence[Window], finish: int) -> list[Window]:
    """The windows up to the finish."""
    return [window for window in windows if window.start <= finish]


def planned_task(one: Placed, c: Context, moment: Callable[[int], int], is_changed: bool) -> PlannedTask:
    """One task presented. moment: a minute of the problem to server time in ms. is_changed: its setup is changed."""
    task = c.tasks[one.op]
    op = task.operation
    held = [*c.t.takes[one.op], *(hold for hold in c.t.gives[one.op] if hold.take != one.op)]
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
        hand=c.t.problem.crew[one.hand].name if one.hand is not None and len(c.t.problem.crew) > 1 else "",
    )


def with_changes(order: Sequence[Placed], c: Context) -> set[str]:
    """The operations before which a station's setup is changed."""
    standing = {station.id: station.standing for station in c.t.problem.stations}
    found = set()
    for one in order:
        op: Op = c.t.ops[one.op]
        if op.setup and standing.get(op.station) != op.setup:
            standing[op.station] = op.setup
            found.add(one.op)
    return found


def overnight_waits(c: Context) -> dict[str, int]:
    """By task, the minutes that its glue sets in clamps, or its coat dries; without coats that dry within the day."""
    found = {}
    for op, links in c.t.going.items():
        task, dries = c.tasks[op], quiet(c.tasks[op].operation) == "dries"
        if task.act == "work" and (dries or quiet(task.operation) == "sets"):
            wait = max((link.lag for link in links if dries or is_own(link.after, task, c)), default=0)
            if wait >= SLOW_COAT or not dries:
                found[op] = wait
    return found


def is_own(op: str, task: Task, c: Context) -> bool:
    """True if it is another task of the same operation, such as taking its clamps off."""
    return c.tasks[op].operation is task.operation and c.tasks[op].build == task.build


def evening(one: Tonight, c: Context, moment: Callable[[int], int]) -> Evening:
    """One task for the evening. moment: a minute of the problem to server time in ms."""
    task = c.tasks[one.op]
    return Evening(
        build=task.build,
        operation=task.operation.id,
        title=title(one.op, c.tasks),
        by=moment(one.by),
        until=moment(one.until),
        reason=f"{quiet(task.operation).capitalize()} while you are away, until {c.say(one.until, one.by)}.",
    )

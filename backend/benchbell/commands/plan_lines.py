"""A plan as text, day by day."""

from collections.abc import Iterable

from benchbell.commands.forecast_lines import forecast_line, roughly
from benchbell.durations import MINUTE_MS
from benchbell.findings import counted
from benchbell.moments import date_of
from benchbell.plan.report.messages import PlannedTask, PresentedPlan
from benchbell.planner.shop_hours import moment_text
from benchbell.recipe.measure import TIME, show


def plan_lines(plan: PresentedPlan) -> Iterable[str]:
    """The plan as text, day by day."""

    def say(ms: int) -> str:
        return moment_text(ms, plan.start, None)

    several = len({step.build for step in plan.steps}) > 1
    done, never_before = roughly(plan.finish, plan.start), roughly(plan.bound, plan.start)
    gap = f" It cannot be done before {never_before}." if never_before != done else ""
    if plan.unplanned:
        unplanned = counted(len(plan.unplanned), "operation")
        yield f"{unplanned} cannot be planned; the reasons are at the end. The others:"
    yield f"As planned: done {done}, {counted(plan.changes, 'setup')}.{gap}"
    if plan.overrun_ms:
        yield f"Some waits are longer than the recipe allows: {time_in_words(plan.overrun_ms)} too long in total."
    for forecast in plan.forecasts:
        yield forecast_line(forecast, plan.start)
    day = None
    for step in plan.steps:
        start = date_of(step.setup_at, None)
        if start.date() != day:
            day = start.date()
            yield f"\n{start:%A} {start.day} {start:%B}"
        yield from step_lines(step, several)
    for one in plan.unplanned:
        yield f"\nNot planned: {one.build}, {one.operation}. {one.reason}"
    if plan.evening:
        yield "\nBefore you go home"
        for act in plan.evening:
            build = f" ({act.build})" if several else ""
            yield f"  {act.title}{build}: begin by {say(act.by)}. {act.reason}"


def step_lines(step: PlannedTask, several: bool) -> Iterable[str]:
    """The lines of one step. several: whether the plan has several builds, so that each step names its own."""
    start, end = date_of(step.setup_at, None), moment_text(step.end, step.setup_at, None)
    over = "glue set" if step.unclamped else "clamps off"
    words = f"{step.title}: {over}" if step.act == "clamps-off" else step.title
    build = step.build if several else ""
    piece = f"piece {step.piece}" if step.piece else ""
    station = step.station if step.act == "work" else ""
    clamps = [counted(count, f"{kind} clamp") for kind, count in step.clamps.items()]
    fixtures = [title if count == 1 else f"{count} × {title}" for title, count in step.fixtures.items()]
    details = ", ".join(filter(None, [build, piece, station, *clamps, *fixtures]))
    yield f"  {start:%H:%M}{f' to {end}' if step.end > step.setup_at else ''}  {words}" + (
        f" ({details})" if details else ""
    )
    setup = f"Set {step.setup} first. " if step.changes else ""
    yield f"               {setup}{step.reason}{left_for_later(step)}"


def left_for_later(step: PlannedTask) -> str:
    """Until when a step may be left, where that is another day: less changes nobody's mind, and the order tells it."""
    latest = step.setup_at + step.slack_ms
    same_day = date_of(latest, None).date() == date_of(step.setup_at, None).date()
    return "" if same_day else f" May be left until {moment_text(latest, step.setup_at, None)}."


def time_in_words(ms: int) -> str:
    """Milliseconds as "1 h 30 min"."""
    return show(ms // MINUTE_MS, TIME, "mm")

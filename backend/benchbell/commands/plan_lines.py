"""A plan as text, shift by shift."""

from collections.abc import Iterable, Sequence

from benchbell.commands.forecast_lines import forecast_line, roughly
from benchbell.commands.plan_names import Names
from benchbell.commands.plan_shifts import Shift, heading, pieces_of, shift_at, shifts_of
from benchbell.commands.unplanned_lines import unfinished_lines, unplanned_lines
from benchbell.durations import MINUTE_MS
from benchbell.findings import counted
from benchbell.moments import date_of
from benchbell.plan.report.messages import PlannedTask, PresentedPlan
from benchbell.planner.shop_hours import moment_text
from benchbell.recipe.measure import TIME, show


def plan_lines(plan: PresentedPlan, names: Names, hours: str) -> Iterable[str]:
    """The plan as text, shift by shift. hours: a line that says when the shop is open."""
    several = len({step.build for step in plan.steps}) > 1
    yield from outcome_lines(plan, names)
    yield hours
    shifts, begins, head = shifts_of(plan.hours), date_of(plan.start, None), ""
    for step in plan.steps:
        shift = shift_at(step.setup_at, shifts)
        if (new := heading(shift, begins)) != head:
            head = new
            yield f"\n{head}"
        yield from step_lines(step, names, several, shifts)
    yield from unplanned_lines(plan.unplanned, names)
    if plan.evening:
        yield "\nBefore you go home"
        for act in plan.evening:
            build = f" ({names.build(act.build)})" if several else ""
            yield f"  {act.title}{build}: begin by {moment_text(act.by, plan.start, None)}. {act.reason}"


def outcome_lines(plan: PresentedPlan, names: Names) -> Iterable[str]:
    """When each build is done, or why it is not; then what the plan is like."""
    yield from unfinished_lines(plan.unplanned, names)
    for forecast in plan.forecasts:
        yield forecast_line(forecast, plan.start)
    setups = counted(plan.changes, "setup")
    if plan.unplanned:
        end = roughly(plan.finish, plan.start)
        yield f"What can be planned ends {end}, with {setups}." if plan.steps else "Nothing can be planned."
    else:
        yield f"{setups} in all.{bound_in_words(plan)}"
    if plan.overrun_ms:
        which = f" Too long after: {', '.join(plan.too_late)}." if plan.too_late else ""
        total = time_in_words(plan.overrun_ms)
        yield f"Some waits are longer than the recipe allows: {total} too long in total.{which}"


def bound_in_words(plan: PresentedPlan) -> str:
    """Before when no plan ends, where that is a day or a half that is not told already."""
    told = min((plan.finish, *(forecast.likely for forecast in plan.forecasts[-1:])))
    bound = roughly(plan.bound, plan.start)
    return (
        f" By the clock alone no order of the work ends before {bound}."
        if plan.bound < told and bound != roughly(told, plan.start)
        else ""
    )


def step_lines(step: PlannedTask, names: Names, several: bool, shifts: Sequence[Shift] = ()) -> Iterable[str]:
    """The lines of one step. several: whether the plan has several builds, so that each step names its own."""
    start, same_shift = date_of(step.setup_at, None), shift_at(step.setup_at, shifts) == shift_at(step.end, shifts)
    end = f"{date_of(step.end, None):%H:%M}" if same_shift else moment_text(step.end, step.setup_at, None)
    until = f" to {end}" if step.end > step.setup_at else ""
    acts = {"squeeze-out": ": squeeze-out", "clamps-off": ": glue set" if step.unclamped else ": clamps off"}
    words = f"{f'{step.hand}: ' if step.hand else ''}{step.title}{acts.get(step.act, '')}"
    build = names.build(step.build) if several else ""
    piece = f"piece {step.piece}" if step.piece else ""
    station = step.station if step.act == "work" else ""
    clamps = [counted(count, f"{kind} clamp") for kind, count in step.clamps.items()]
    fixtures = [title if count == 1 else f"{count} × {title}" for title, count in step.fixtures.items()]
    details = ", ".join(filter(None, [build, piece, station, *clamps, *fixtures]))
    yield f"  {start:%H:%M}{until}  {words}{f' ({details})' if details else ''}"
    first = f"“{names.setup(step)}”" if step.setup else f"the {step.station}"
    setup = f"Set {first} first." if step.changes else ""
    if words := " ".join(filter(None, (setup, pieces_of(step.setup_at, step.end, shifts), step.reason))):
        yield f"               {words}"


def time_in_words(ms: int) -> str:
    """Milliseconds as "1 h 30 min"."""
    return show(ms // MINUTE_MS, TIME, "mm")

"""A plan as text, day by day."""

from collections.abc import Iterable, Sequence
from datetime import datetime

from benchbell.commands.forecast_lines import forecast_line, roughly
from benchbell.durations import MINUTE_MS
from benchbell.findings import counted
from benchbell.moments import date_of
from benchbell.plan.report.messages import PlannedTask, PresentedPlan
from benchbell.plan.tasks.task import OpenBuild
from benchbell.planner.shop_hours import moment_text
from benchbell.recipe.measure import TIME, show
from benchbell.recipe.sheet import Operation


class Names:
    """What builds, operations and setups are called."""

    def __init__(self, builds: Sequence[OpenBuild]) -> None:
        self.builds = {build.id: build.name for build in builds}
        self.operations = {(build.id, op.id): title_of(op) for build in builds for op in build.sheet.operations}
        self.setups = {(build.id, setup.id): setup.title for build in builds for setup in build.sheet.setups}

    def build(self, id: str) -> str:
        """The build's name."""
        return self.builds[id]

    def operation(self, build: str, id: str) -> str:
        """The operation's title, with its piece; "" for the whole build."""
        return self.operations.get((build, id), "")

    def setup(self, step: PlannedTask) -> str:
        """The title of the setup that a step needs."""
        return self.setups[step.build, step.setup]


def plan_lines(plan: PresentedPlan, builds: Sequence[OpenBuild]) -> Iterable[str]:
    """The plan as text, day by day. builds: those that are planned."""
    names = Names(builds)

    def say(ms: int) -> str:
        return moment_text(ms, plan.start, None)

    several = len({step.build for step in plan.steps}) > 1
    done, never_before = roughly(plan.finish, plan.start), roughly(plan.bound, plan.start)
    gap = f" By the clock alone it cannot be done before {never_before}." if never_before != done else ""
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
            yield f"\n{start:%A} {start.day} {start:%B}{year_of(start, plan)}"
        yield from step_lines(step, names, several)
    for one in plan.unplanned:
        what = ", ".join(filter(None, (names.build(one.build), names.operation(one.build, one.operation))))
        yield f"\nNot planned: {what}. {one.reason}"
    if plan.evening:
        yield "\nBefore you go home"
        for act in plan.evening:
            build = f" ({names.build(act.build)})" if several else ""
            yield f"  {act.title}{build}: begin by {say(act.by)}. {act.reason}"


def step_lines(step: PlannedTask, names: Names, several: bool) -> Iterable[str]:
    """The lines of one step. several: whether the plan has several builds, so that each step names its own."""
    start, end = date_of(step.setup_at, None), moment_text(step.end, step.setup_at, None)
    acts = {"squeeze-out": ": squeeze-out", "clamps-off": ": glue set" if step.unclamped else ": clamps off"}
    words = step.title + acts.get(step.act, "")
    build = names.build(step.build) if several else ""
    piece = f"piece {step.piece}" if step.piece else ""
    station = step.station if step.act == "work" else ""
    clamps = [counted(count, f"{kind} clamp") for kind, count in step.clamps.items()]
    fixtures = [title if count == 1 else f"{count} × {title}" for title, count in step.fixtures.items()]
    details = ", ".join(filter(None, [step.hand, build, piece, station, *clamps, *fixtures]))
    yield f"  {start:%H:%M}{f' to {end}' if step.end > step.setup_at else ''}  {words}" + (
        f" ({details})" if details else ""
    )
    first = f"“{names.setup(step)}”" if step.setup else f"the {step.station}"
    setup = f"Set {first} first." if step.changes else ""
    if words := " ".join(filter(None, (setup, step.reason))):
        yield f"               {words}"


def title_of(op: Operation) -> str:
    """The operation's title, with its piece where it is one piece's."""
    return f"{op.title}, {op.piece}" if op.piece else op.title


def year_of(day: datetime, plan: PresentedPlan) -> str:
    """The year of a day, where it is not that in which the plan begins."""
    return "" if day.year == date_of(plan.start, None).year else f" {day.year}"


def time_in_words(ms: int) -> str:
    """Milliseconds as "1 h 30 min"."""
    return show(ms // MINUTE_MS, TIME, "mm")

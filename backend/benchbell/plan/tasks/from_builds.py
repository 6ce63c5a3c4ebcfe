"""From open builds to a planning problem. Minute 0 is now; clocks that run keep their own times."""

from collections.abc import Iterable, Mapping, Sequence
from math import ceil

from msgspec import Struct
from msgspec.structs import replace

from benchbell.bench.standing import setting_of
from benchbell.bench.state import OperationState
from benchbell.bench.unclamped import is_unclamped
from benchbell.durations import MINUTE_MS
from benchbell.plan.model.problem import Craft, Hold, Link, Op, Problem
from benchbell.plan.tasks.after_hours import (
    after_hours,
    last_mark,
    next_opening,
    only_pressing,
    waiting_for_hours,
    with_one_there,
    with_stretch,
)
from benchbell.plan.tasks.blocked import blocked_operations, gates_of, reasons
from benchbell.plan.tasks.craft import (
    FITTED,
    HURRIED,
    LEFT_ON,
    fits_for,
    is_fiddly,
    last_station,
    throws_dust,
    wet_for,
    wet_until,
)
from benchbell.plan.tasks.fixtures import fixture_counts, fixture_holds, fixture_titles
from benchbell.plan.tasks.hours import Calendar, Worker, crew_hours, windows_of
from benchbell.plan.tasks.minutes import Gone, minutes_left, none_gone
from benchbell.plan.tasks.stations import stations_of
from benchbell.plan.tasks.task import (
    SQUEEZE_OUT_MINUTES,
    OpenBuild,
    Task,
    Unplanned,
    clock_spec,
    clock_start_key,
    has_started,
    key_of,
    last_key,
    tasks_of,
)
from benchbell.recipe.sheet import ClockSpec, Operation

NO_FIXTURES: Mapping[str, int] = {}
"""The shop has counted none of its fixtures."""

SETUP_ALLOWANCE = 30
"""Minutes of setting up for each operation, when enough hours are asked for."""

WEEK = 40 * 60
"""Open minutes of a working week."""


class BuildsProblem(Struct, frozen=True):
    """The problem of open builds. tasks: by the id of the problem's operations. unplanned: left out, with reasons.

    fixtures: titles of fixtures, by kind of the problem's holds. gates: by task, the measured sizes it will wait for.
    """

    problem: Problem
    tasks: dict[str, Task]
    unplanned: tuple[Unplanned, ...]
    fixtures: dict[str, str] = {}
    gates: dict[str, str] = {}


def problem_from_builds(
    builds: Sequence[OpenBuild],
    calendar: Calendar,
    clamps: Mapping[str, int],
    now: int,
    hands: int = 1,
    fixtures: Mapping[str, int] = NO_FIXTURES,
    finishing_room: bool = False,
    gone: Gone = none_gone,
    workers: Sequence[Worker] = (),
) -> BuildsProblem:
    """The problem of all tasks that are left. clamps: by kind; a kind not named is never short. now: server time in ms.

    fixtures: how many the shop has of its own, by name. finishing_room: coats dry where no dust gets. gone: how long
    work has been in hand. workers: who works here; `calendar` and `hands` count only where nobody is named. What is to
    be measured again, and all that comes after it, is left out. After hours, what a clock drives is done all the same.
    """
    blocked = {build.id: blocked_operations(build) for build in builds}
    tasks = {
        task.key: task
        for build in builds
        for op in build.sheet.operations
        if op.id not in blocked[build.id]
        for task in tasks_of(build, op, minutes_left(op, build.bench.operations[op.id], gone))
    }
    opens = next_opening(calendar, workers, now)
    if stretch := after_hours(builds, tasks, opens, now, last_mark(builds)):
        tasks = only_pressing(tasks, stretch)
        calendar, workers = with_stretch(calendar, stretch, now), with_one_there(workers, stretch, now)
    holds = tuple(hold for of in (holds_of, fixture_holds) for build in builds for hold in of(build, tasks))
    ops = tuple(
        op_of(task, build, now, finishing_room) for build in builds for task in tasks.values() if task.build == build.id
    )
    if stretch:
        ops = tuple(waiting_for_hours(ops, stretch))
    links = tuple(link for build in builds for link in links_of(build, tasks))
    enough = enough_minutes(ops, links)
    windows, crew = crew_hours(workers, enough, now) if workers else (windows_of(calendar, enough, now), ())
    problem = Problem(
        start=0,
        windows=windows,
        stations=stations_of(builds, tasks),
        clamps=clamp_counts(holds, {**clamps, **fixture_counts(builds, fixtures)}, tasks),
        ops=ops,
        links=links,
        holds=holds,
        hands=len(crew) or hands,
        crew=crew,
        craft=Craft(),
        here=last_station(builds),
        wet_until=0 if finishing_room else max(0, wet_until(builds, now)),
    )
    unplanned = tuple(one for build in builds for one in reasons(build))
    gates = {key: text for build in builds for key, text in gates_of(build, tasks)}
    return BuildsProblem(problem, tasks, unplanned, fixture_titles(builds), gates)


def enough_minutes(ops: Sequence[Op], links: Sequence[Link]) -> int:
    """Open minutes in which even a poor plan is done: a spare week, all work twice, and the longest chain of lags."""
    work = sum(SETUP_ALLOWANCE + op.minutes for op in ops)
    return WEEK + 2 * work + max((op.ready for op in ops), default=0) + longest_lags(ops, links)


def longest_lags(ops: Sequence[Op], links: Sequence[Link]) -> int:
    """The greatest sum of minimal lags along any chain, in minutes. links: in topological order."""
    waits = {op.id: 0 for op in ops}
    for link in links:
        waits[link.after] = max(waits[link.after], waits[link.before] + link.lag)
    return max(waits.values(), default=0)


def op_of(task: Task, build: OpenBuild, now: int, finishing_room: bool) -> Op:
    """The task as an operation of the problem. now: server time in ms. finishing_room: dust does not get at coats."""
    op = task.operation
    ready, by = start_window(task, build, now)
    return Op(
        id=task.key,
        minutes=task.minutes,
        station=op.station if task.act == "work" else "",
        setup=setting_of(build.sheet, op) if task.act == "work" and not task.begun else "",
        ready=ready,
        breakable=op.breakable and task.act == "work",
        begun=task.begun,
        piece=build.id,
        due=None if build.due is None else (build.due - now) // MINUTE_MS,
        weight=build.weight,
        by=by,
        dusty=throws_dust(task),
        wet=0 if finishing_room else wet_for(task),
        fiddly=is_fiddly(task),
    )


def start_window(task: Task, build: OpenBuild, now: int) -> tuple[int, int | None]:
    """The earliest and the latest start by the clocks that run, in minutes from now; None without a latest one."""
    own = {"clamps-off": ("in-clamps",), "squeeze-out": ("squeeze-out",), "work": HURRIED}[task.act]
    waited = {(task.operation.id, kind) for kind in own}
    if task.act == "work" and not task.begun:
        waited = {(hold.operation, hold.clock) for hold in task.operation.holds}
    clocks = [clock for clock in build.running if (clock.operation, clock.kind) in waited]
    ready = max((ceil((c.least - now) / MINUTE_MS) for c in clocks if c.least is not None), default=0)
    latest = [(c.most - now) // MINUTE_MS for c in clocks if c.most is not None]
    if task.act == "squeeze-out":  # it is cleaned off late as well, and then nothing is gained by being quick
        latest = [by for by in latest if by >= 0]
    if task.act == "squeeze-out" or task.begun:  # it is to be over by then
        latest = [by - task.minutes for by in latest]
    return max(0, ready), max(0, min(latest)) if latest else None


def links_of(build: OpenBuild, tasks: Mapping[str, Task]) -> Iterable[Link]:
    """Precedences with time lags between the build's tasks, in topological order. tasks: by key."""
    ops = {op.id: op for op in build.sheet.operations}
    states = build.bench.operations
    for op in build.sheet.operations:
        work = key_of(build.id, op.id)
        if work in tasks and not tasks[work].begun:
            for before in op.after:
                if (last := last_key(build.id, ops[before])) in tasks:
                    soon = fits_for(ops[before], op)
                    yield Link(last, work, wanted=FITTED if soon else None, wanted_open=soon)
            for hold in op.holds:
                spec = clock_spec(ops[hold.operation], hold.clock)
                if spec and not has_started(spec, states[hold.operation]):
                    from_ = clock_start_key(build.id, ops[hold.operation], spec)
                    if from_ in tasks:
                        yield link_of(from_, work, spec)
        yield from links_of_acts(build, op, tasks)


def links_of_acts(build: OpenBuild, op: Operation, tasks: Mapping[str, Task]) -> Iterable[Link]:
    """Between the tasks of one glue-up: gluing, cleaning its squeeze-out off, taking its clamps off. tasks: by key."""
    work, off = key_of(build.id, op.id), key_of(build.id, op.id, "clamps-off")
    clean, rubbery = key_of(build.id, op.id, "squeeze-out"), clock_spec(op, "squeeze-out")
    clamping = clock_spec(op, "in-clamps")
    if clean in tasks and work in tasks and rubbery:
        link = link_of(work, clean, rubbery)
        wanted = None if link.most is None else max(link.lag, link.most - SQUEEZE_OUT_MINUTES)
        yield replace(link, most=None, wanted=wanted)
    if clean in tasks and off in tasks:
        yield Link(clean, off)
    if work in tasks and off in tasks and clamping:
        link = link_of(work, off, clamping)
        yield link if is_unclamped(op) else replace(link, wanted=link.lag + LEFT_ON, wanted_open=True)


def link_of(before: str, after: str, spec: ClockSpec) -> Link:
    """A clock as a link: its least time is the minimal lag, its most time, where it has one, the maximal lag."""
    most = None if spec.most_ms is None else spec.most_ms // MINUTE_MS
    return Link(before, after, ceil((spec.least_ms or 0) / MINUTE_MS), most)


def holds_of(build: OpenBuild, tasks: Mapping[str, Task]) -> Iterable[Hold]:
    """The clamps that each glue-up of the build will take, or has taken already. tasks: by key."""
    for op in build.sheet.operations:
        work, off = key_of(build.id, op.id), key_of(build.id, op.id, "clamps-off")
        if off in tasks and not clamps_are_off(build.bench.operations[op.id]):
            for kind, count in op.clamps.items():
                yield Hold(kind, count, work if work in tasks else "", off)


def clamps_are_off(state: OperationState) -> bool:
    """True if the clamps have been taken off."""
    return "clamps-off" in state.marks


def clamp_counts(holds: Sequence[Hold], clamps: Mapping[str, int], tasks: Mapping[str, Task]) -> dict[str, int]:
    """How many clamps and fixtures there are, by kind; at least as many as are in use, whatever the shop says it has.

    tasks: by key; what is begun has its clamps and fixtures in use.
    """
    in_use = [h for h in holds if not h.take or tasks[h.take].begun]
    used = {kind: sum(h.count for h in in_use if h.kind == kind) for kind in {h.kind for h in holds}}
    everything = {kind: sum(h.count for h in holds if h.kind == kind) for kind in used}
    return {kind: max(used[kind], clamps.get(kind, everything[kind])) for kind in sorted(used)}

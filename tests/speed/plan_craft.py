"""What a craftsman would find amiss in plans of the shipped recipes, counted from the plans' times alone.

craft_…: faults in the ten plans of SHOPS after a second's search, the mean of three seeds with --all.
squeeze_out_closed: its time falls while the shop is closed; squeeze_out_late: it is cleaned after its time;
clamps_left: more than CLAMPED open minutes past their time; torn: left for the night with less than LEAST_PIECE minutes
before or after; dust_sanding, dust_machine: within WET minutes of a coat, or until it may be rubbed; stop_again: an
unnamed setting made once more, though nothing kept the pieces apart; fiddly: a glue-up that ends in the last LAST
minutes of a day; all: their sum.
squeeze_out_untold: it could be cleaned in time, but the plan leaves no time for it.
finish_min: minutes from Monday 08:00 to the finish, summed over the ten. open_min: the same in open minutes.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import UTC
from functools import cache, partial
from itertools import groupby, pairwise
from pathlib import Path
from statistics import mean
from time import process_time

from benchbell.commands.plan import new_builds, week
from benchbell.commands.recipe_files import compile_files
from benchbell.durations import MINUTE_MS
from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Placed, Plan, Window
from benchbell.plan.planner import plan_for
from benchbell.plan.search.budget import within
from benchbell.plan.search.early_unclamp import unclamped_early
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.random import Random
from benchbell.plan.tasks.from_builds import BuildsProblem, problem_from_builds
from benchbell.plan.tasks.task import Task
from benchbell.planner.shop_hours import stretches
from benchbell.recipe.sheet import ClockSpec
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.trade.finish import finish_named
from benchbell.trade.stations import station_named

RECIPES = Path(__file__).parents[2] / "recipes"
NOW = 1_796_630_400_000
"""Monday, 2026-12-07, 08:00 UTC."""

HOURS = "08:00-12:00, 12:30-17:00"
CLAMPS = {"parallel jaw": 6, "light F": 10, "heavy F": 6, "band": 2, "spring": 12}
SHOPS = (
    (("hall-bench",), 1),
    (("bedside-table",), 1),
    (("wall-cabinet",), 2),
    (("garden-stool",), 3),
    (("plant-stand", "plant-stand"), 1),
    (("mantel-clock",), 1),
    (("laminated-footrest", "plant-stand"), 1),
    (("hall-bench", "bedside-table"), 2),
    (("garden-stool", "wall-cabinet"), 2),
    (("porch-chair", "garden-stool", "mantel-clock"), 1),
)
"""Recipes, each a build, and pieces of each."""

CLAMPED = 120
LEAST_PIECE = 15
WET = 120
LAST = 15
NIGHT = 240
"""A shop that is closed for so many minutes opens on another day."""

Done = tuple[Task, Placed]
Count = dict[str, int]


def figures(everything: bool) -> Iterator[tuple[str, float]]:
    """Each figure by its name."""
    seeds = (1, 2, 3) if everything else (1,)
    found = [counted(*shop, seed) for shop in SHOPS for seed in seeds]
    for name in found[0]:
        yield f"craft_{name}", len(SHOPS) * mean(one[name] for one in found)


def counted(recipes: tuple[str, ...], pieces: int, seed: int) -> Count:
    """What is amiss in the plan of one shop, by kind, and when it finishes."""
    whole = asked(recipes, pieces)
    problem, unplanned = feasible_part(whole.problem)
    afterwards = [op.id for op in problem.ops if whole.tasks[op.id].act != "work"]
    plan = unclamped_early(problem, plan_for(problem, within(1.0, process_time), Random(seed)), afterwards)
    assert not unplanned and not faults(problem, plan), faults(problem, plan)
    return amiss(whole, plan)


@cache
def asked(recipes: tuple[str, ...], pieces: int) -> BuildsProblem:
    """What is to be planned when these builds begin together on Monday morning."""
    paths = [RECIPES / f"{name}.toml" for name in recipes]
    sheets = compile_files(paths, pieces, ShopProfile(), {})
    builds = new_builds(paths, sheets, NOW)
    return problem_from_builds(builds, partial(stretches, week(HOURS, "mon-fri"), UTC, NOW), CLAMPS, NOW)


def amiss(whole: BuildsProblem, plan: Plan) -> Count:
    """Every kind of fault, counted, their sum, and the finish."""
    windows = whole.problem.windows
    done = [(whole.tasks[one.op], one) for one in sorted(plan.placed, key=lambda one: (one.start, one.end))]
    found = {
        **of_squeeze_out(done, windows),
        "clamps_left": sum(1 for _ in clamps_left(done, windows)),
        "torn": sum(1 for _, one in done if is_torn(one, windows)),
        **of_dust(done),
        "stop_again": stops_again(done, whole),
        "fiddly": sum(task.operation.step == "glue-up" and is_last(task, one, windows) for task, one in done),
    }
    count = sum(found.values()) - found["squeeze_out_untold"]
    return {**found, "all": count, "finish_min": plan.finish, "open_min": worked(windows, 0, plan.finish)}


def worked(windows: Iterable[Window], since: int, until: int) -> int:
    """Open minutes between two times."""
    return sum(max(0, min(one.end, until) - max(one.start, since)) for one in windows)


def clock(task: Task, kind: str) -> ClockSpec | None:
    """The operation's clock of that kind."""
    return next((one for one in task.operation.clocks if one.kind == kind), None)


def of_squeeze_out(done: Sequence[Done], windows: Sequence[Window]) -> Count:
    """Squeeze-out whose time is when nobody is there, what is cleaned after its time, and what nobody is told of."""
    cleaned = {(t.build, t.operation.id): one.start for t, one in done if t.act == "squeeze-out"}
    closed = late = untold = 0
    for task, one in done:
        due = clock(task, "squeeze-out") if task.act == "work" else None
        if due and due.least_ms is not None and due.most_ms is not None:
            first, last = one.end + due.least_ms // MINUTE_MS, one.end + due.most_ms // MINUTE_MS
            at = cleaned.get((task.build, task.operation.id))
            if not worked(windows, first, last):
                closed += 1
            elif at is None:
                untold += 1
            elif at > last:
                late += 1
    return {"squeeze_out_untold": untold, "squeeze_out_closed": closed, "squeeze_out_late": late}


def clamps_left(done: Sequence[Done], windows: Sequence[Window]) -> Iterator[Task]:
    """Glue-ups whose clamps stay on for hours in which they could come off."""
    glued = {(t.build, t.operation.id): one.end for t, one in done if t.act == "work"}
    for task, one in done:
        due = clock(task, "in-clamps") if task.act == "clamps-off" else None
        if due and task.operation.clamps:
            since = glued[task.build, task.operation.id] + (due.least_ms or 0) // MINUTE_MS
            if worked(windows, since, one.start) > CLAMPED:
                yield task


def is_torn(one: Placed, windows: Sequence[Window]) -> bool:
    """Whether a night leaves less than LEAST_PIECE minutes on a side."""
    parts = [minutes for day in days(windows) if (minutes := worked(day, one.start, one.end))]
    return len(parts) > 1 and min(parts[0], parts[-1]) < LEAST_PIECE


def days(windows: Iterable[Window]) -> list[list[Window]]:
    """The windows of each day."""
    found: list[list[Window]] = []
    for window in windows:
        if found and window.start - found[-1][-1].end < NIGHT:
            found[-1].append(window)
        else:
            found.append([window])
    return found


def of_dust(done: Sequence[Done]) -> Count:
    """Sanding and machining while a coat is wet."""
    wet = [(one.end, one.end + dries_in(task)) for task, one in done if task.operation.step == "coat"]
    found = {"dust_sanding": 0, "dust_machine": 0}
    for task, one in done:
        name = task.operation.station
        kind = "dust_sanding" if name in ("sanding", "belt sander") else "dust_machine"
        if task.act == "work" and name and (name == "sanding" or station_named(name).kind == "machine"):
            found[kind] += any(one.start < until and one.end > since for since, until in wet)
    return found


def dries_in(coat: Task) -> int:
    """Minutes until dust does no harm to the coat."""
    return int(min(WET, finish_named(coat.operation.finish).recoat_least_minutes or WET))


def stops_again(done: Sequence[Done], whole: BuildsProblem) -> int:
    """How often a machine is set once more to what an operation without a named setup had it at before."""
    before = predecessors(whole)
    found = 0
    machines = {t.operation.station for t, _ in done if t.operation.station and t.act == "work"}
    for machine in sorted(one for one in machines if station_named(one).kind == "machine"):
        there = [task for task, _ in done if task.act == "work" and task.operation.station == machine]
        visits = [(key, list(tasks)) for key, tasks in groupby(there, setting)]
        for key in {key for key, _ in visits if key[1]}:
            again = pairwise(tasks for one, tasks in visits if one == key)
            found += sum(not before[b.key] & {a.key for a in first} for first, then in again for b in then[:1])
    return found


def setting(task: Task) -> tuple[str, str]:
    """What a machine stands at for an operation: a named setup, or the operation itself in any piece and build.

    A second build of a recipe is called like the first, with a number after a space.
    """
    op = task.operation
    return (op.setup, "") if op.setup else (task.build.partition(" ")[0], op.name)


def predecessors(whole: BuildsProblem) -> Mapping[str, set[str]]:
    """By task, all that comes before it, however far. Links stand in an order that can be worked."""
    found: dict[str, set[str]] = {key: set() for key in whole.tasks}
    for link in whole.problem.links:
        found[link.after] |= {link.before, *found[link.before]}
    return found


def is_last(task: Task, one: Placed, windows: Sequence[Window]) -> bool:
    """Whether a glue-up ends in the last minutes of a day."""
    return task.act == "work" and any(day[-1].end - LAST < one.end <= day[-1].end for day in days(windows))

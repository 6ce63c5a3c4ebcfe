"""`benchbell plan`: recipes, pieces and hours in; who does what when, and why, out."""

import argparse
import os
import time
from collections.abc import Iterable, Sequence
from datetime import datetime
from functools import partial
from itertools import count
from pathlib import Path
from typing import Any

import msgspec
from msgspec.structs import replace

from benchbell.bench.book import Book
from benchbell.bench.happenings import Happening, Stamp, Started
from benchbell.bench.state import bench_of
from benchbell.commands.check import has_error, print_json, read_shop, sheet_of, told
from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused
from benchbell.plan.advise import PlanRequest, advise
from benchbell.plan.exact.solver import polish
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.planner import plan_for
from benchbell.plan.report.messages import PlannedTask, PlanTold
from benchbell.plan.search.budget import within
from benchbell.plan.search.random import Random
from benchbell.plan.tasks.task import OpenBuild
from benchbell.planner.shop_hours import DAYS, Week, moment_text, read_hours, stretches
from benchbell.recipe.measure import TIME, show
from benchbell.recipe.sheet import Sheet

LIMITS: dict[str, tuple[float, float]] = {
    "pieces": (1, 26),
    "hands": (1, 8),
    "seconds": (0.01, 3600),
    "prove": (0, 3600),
}
"""The least and the most each number may be."""

YEARS = range(1970, 9000)
"""Every machine's clock has them, and there is room for the plan after the last."""


def add_to(subparsers: Any) -> None:
    """Add the command."""
    plan = subparsers.add_parser("plan", help="say what to do when, and why, to be done soonest")
    plan.add_argument("recipe", nargs="+", type=Path, help="recipes' TOML files, each a build")
    plan.add_argument("--pieces", type=int, default=1, help="of each recipe, 1 to 26 (%(default)s)")
    plan.add_argument("--start", default="", metavar="WHEN", help="as 2026-12-01T08:00, this machine's time (now)")
    plan.add_argument("--hours", default="08:00-17:00", help="'08:00-12:00, 12:30-17:00' (%(default)s)")
    plan.add_argument("--days", default="mon-fri", help="from one to another (%(default)s)")
    plan.add_argument("--hands", type=int, default=1, help="pairs of hands, 1 to 8 (%(default)s)")
    plan.add_argument("--shop", type=Path, help="a TOML file with the shop's air, clamps and labels")
    plan.add_argument("--seconds", type=float, default=1.0, help="to think (%(default)s)")
    plan.add_argument("--prove", type=float, default=0.0, metavar="SECONDS", help="think on, with benchbell[optimal]")
    plan.add_argument("--seed", type=int, default=1, help="of chance (%(default)s)")
    plan.add_argument("--json", action="store_true", help="print one JSON object")
    plan.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Print the plan; 1 when some of it cannot be planned. Raises Refused when an argument or a recipe is wrong."""
    for name, (least, most) in LIMITS.items():
        if not least <= (value := getattr(args, name)) <= most:
            raise Refused(f"--{name} is {value:g}.", f"Write --{name} with a number from {least:g} to {most:g}.")
    shop = read_shop(args.shop)
    sheets = {path: sheet_of(path, args.pieces, shop) for path in args.recipe}
    for sheet in sheets.values():
        if has_error(sheet):
            raise Refused(told(sheet), "Correct the recipe first.")
    now = moment(args.start)
    asked = PlanRequest(
        builds=[fresh(name, sheets[path], now) for name, path in named(args.recipe)],
        hours=partial(stretches, week(args.hours, args.days), None, now),
        clamps=shop.clamps or {},
        now=now,
        say=lambda ms, at: moment_text(ms, at, None),
        hands=args.hands,
    )
    plan, _ = advise(asked, partial(thought_over, seconds=args.seconds, seed=args.seed, prove=args.prove))
    if args.json:
        print_json(as_data(plan))
    else:
        print("\n".join(lines_of(plan)))
    return 1 if plan.unplanned else 0


def named(paths: Sequence[Path]) -> list[tuple[str, Path]]:
    """Each with a name of its own: its file's, the second of the same one with a 2."""
    found: dict[str, Path] = {}
    for path in paths:
        name = next(name for n in count(1) if (name := f"{path.stem} {n}" if n > 1 else path.stem) not in found)
        found[name] = path
    return list(found.items())


def thought_over(problem: Problem, seconds: float, seed: int, prove: float) -> Plan:
    """The best plan found in so many seconds, and in so many more by an exact solver. Raises Refused without one."""
    plan = plan_for(problem, within(seconds, time.monotonic), Random(seed))
    if prove <= 0:
        return plan
    better, bound = polish(problem, plan, prove, os.cpu_count() or 1)
    return replace(better, bound=bound)


def moment(when: str) -> int:
    """Server time in ms of a moment on this machine's clock; now for "". Raises Refused."""
    if not when:
        return int(time.time()) // 60 * MINUTE_MS
    try:
        asked = datetime.fromisoformat(when)
        if asked.year in YEARS:
            return int(asked.timestamp()) // 60 * MINUTE_MS
    except ValueError as error:
        raise Refused(f"{when!r} is no moment.", "Write --start 2026-12-01T08:00.") from error
    raise Refused(f"{when!r} is too far away.", f"Write a year from {YEARS[0]} to {YEARS[-1]}.")


def week(hours: str, days: str) -> Week:
    """The same hours on a run of weekdays, such as mon-fri. Raises Refused."""
    first, _, last = days.lower().partition("-")
    if first not in DAYS or (last or first) not in DAYS:
        raise Refused(f"{days!r} are no days.", f"Write --days mon-sat; days are {', '.join(DAYS)}.")
    start, count = DAYS.index(first), (DAYS.index(last or first) - DAYS.index(first)) % 7 + 1
    return read_hours({DAYS[(start + n) % 7]: hours for n in range(count)})


def fresh(name: str, sheet: Sheet, now: int) -> OpenBuild:
    """A build of which nothing is done yet; its name is its id."""
    book = Book()
    book.add(Happening(name, 1, Stamp(now, 0, "0" * 16), name, (), Started(name, sheet, "", {})))
    bench = bench_of(book)
    assert bench is not None
    return OpenBuild(name, name, sheet, bench)


def as_data(plan: PlanTold) -> dict[str, Any]:
    """The plan for another program: moments in ISO 8601 with this machine's offset, lengths in minutes."""
    return {
        "operations": [operation(step) for step in plan.steps],
        "start": iso(plan.start),
        "finish": iso(plan.finish),
        "makespan": minutes_between(plan.start, plan.finish),
        "lower_bound": minutes_between(plan.start, plan.bound),
        "setup_changes": plan.changes,
        "overrun": plan.overrun_ms // MINUTE_MS,
        "builds": [
            {"name": f.name, "finish": iso(f.finish), "soonest": iso(f.soonest), "latest": iso(f.latest)}
            for f in plan.forecasts
        ],
        "unplanned": msgspec.to_builtins(plan.unplanned),
    }


def operation(step: PlannedTask) -> dict[str, Any]:
    """One act for another program."""
    return {
        "id": step.operation,
        "build": step.build,
        "piece": step.piece,
        "act": step.act,
        "title": step.title,
        "station": step.station,
        "setup": step.setup,
        "setup_start": iso(step.setup_at),
        "start": iso(step.start),
        "end": iso(step.end),
        "clamps": step.clamps,
        "slack": step.slack_ms // MINUTE_MS,
        "reason": step.reason,
    }


def iso(ms: int) -> str:
    """As 2026-12-01T08:00:00+01:00."""
    return datetime.fromtimestamp(ms / 1000).astimezone().isoformat(timespec="seconds")


def minutes_between(start: int, end: int) -> int:
    """Whole minutes."""
    return (end - start) // MINUTE_MS


def lines_of(plan: PlanTold) -> Iterable[str]:
    """The plan for reading, day by day."""

    def say(ms: int) -> str:
        return moment_text(ms, plan.start, None)

    several = len({step.build for step in plan.steps}) > 1
    gap = f" It cannot be done before {say(plan.bound)}." if plan.bound < plan.finish else ""
    setups = "1 setup" if plan.changes == 1 else f"{plan.changes} setups"
    if plan.unplanned:
        yield f"{len(plan.unplanned)} of the operations cannot be planned: why stands at the end. The rest of them:"
    yield f"Done {say(plan.finish)}, {setups}.{gap}"
    if plan.overrun_ms:
        yield f"Not all waits can be kept as short as they should be: {time_in_words(plan.overrun_ms)} too long in all."
    for forecast in plan.forecasts:
        yield f"{forecast.name}: {say(forecast.finish)}, between {say(forecast.soonest)} and {say(forecast.latest)}"
    day = None
    for step in plan.steps:
        start = datetime.fromtimestamp(step.setup_at / 1000)
        if start.date() != day:
            day = start.date()
            yield f"\n{start:%A} {start.day} {start:%B}"
        yield from about(step, several)
    for one in plan.unplanned:
        yield f"\nNot planned: {one.build}, {one.operation}. {one.reason}"
    if plan.evening:
        yield "\nBefore you go home"
        for act in plan.evening:
            whose = f" ({act.build})" if several else ""
            yield f"  {act.title}{whose}: begin by {say(act.by)}. {act.reason}"


def about(step: PlannedTask, several: bool) -> Iterable[str]:
    """One act's lines. several: of several builds, so each says which it is for."""
    start, end = datetime.fromtimestamp(step.setup_at / 1000), moment_text(step.end, step.setup_at, None)
    words = f"{step.title}{': clamps off' if step.act == 'clamps-off' else ''}"
    whose = [step.build if several else "", f"piece {step.piece}" if step.piece else ""]
    where = [*whose, step.station if step.act == "work" else ""]
    have = [f"{count} {kind} clamps" for kind, count in step.clamps.items()]
    around = ", ".join(filter(None, [*where, *have]))
    yield f"  {start:%H:%M} to {end}  {words}" + (f" ({around})" if around else "")
    setting = f"Set {step.setup} first. " if step.changes else ""
    slack = f" May wait {time_in_words(step.slack_ms)}." if step.slack_ms >= MINUTE_MS else ""
    yield f"               {setting}{step.reason}{slack}"


def time_in_words(ms: int) -> str:
    """As "1 h 30 min"."""
    return show(ms // MINUTE_MS, TIME, "mm")

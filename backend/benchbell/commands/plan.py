"""`benchbell plan`: a plan for recipes, pieces and hours: who does what when, and why."""

import argparse
import os
import time
from collections.abc import Iterable, Mapping, Sequence
from functools import partial
from itertools import count
from pathlib import Path
from typing import Any

import msgspec
from msgspec.structs import replace

from benchbell.bench.book import Book
from benchbell.bench.happenings import Happening, Stamp, Started
from benchbell.bench.state import bench_of
from benchbell.commands.help import examples
from benchbell.commands.output import STREAM, add_json_option, print_json
from benchbell.commands.plan_hours import closed_dates, hours_line, moment, week
from benchbell.commands.plan_lines import plan_lines
from benchbell.commands.plan_names import Names
from benchbell.commands.progress import progress
from benchbell.commands.recipe_files import (
    add_choice_option,
    add_pieces_option,
    add_shop_option,
    compile_files,
    findings_text,
    has_error,
    read_shop,
)
from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused
from benchbell.moments import date_of
from benchbell.plan.advise import PlanRequest, advise
from benchbell.plan.exact.solver import polish
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.model.which_hands import NOBODY, which_hands
from benchbell.plan.planner import best_plans
from benchbell.plan.report.messages import PlannedTask, PresentedPlan
from benchbell.plan.report.unfit_air import unfit_lines, unfit_operations, with_unfit
from benchbell.plan.search.budget import Budget, tries, tries_for, within
from benchbell.plan.search.random import Random
from benchbell.plan.tasks.task import OpenBuild
from benchbell.planner.shop_hours import moment_text, stretches
from benchbell.recipe.sheet import Sheet
from benchbell.recipe.unfit_air import Air

THOROUGH = 4
"""So many times as many schedules are tried here as on the server, where somebody waits at the bench."""

LIMITS: dict[str, tuple[float, float]] = {
    "pieces": (1, 26),
    "hands": (1, 8),
    "seconds": (0.01, 3600),
    "prove": (0, 3600),
}
"""The least and greatest value of each numeric option."""


def add_to(subparsers: Any) -> None:
    """Add the command."""
    plan = subparsers.add_parser(
        "plan",
        help="say what to do when, and why, to finish soonest",
        description="Plan builds that begin together: what to do when, and why, so that all is done soonest. It knows "
        "hands, stations and their setups, clamps, waits and the shop's hours.",
        epilog=examples(
            "benchbell plan recipes/hall-bench.toml",
            "benchbell plan recipes/hall-bench.toml recipes/bedside-table.toml --pieces 2 --days mon-sat",
            "benchbell plan recipes/hall-bench.toml --hours '08:00-12:00, 12:30-17:00' --closed 2026-12-24..2027-01-01",
            "benchbell plan - --start 2026-12-01T08:00 --json < recipe.toml",
        ),
    )
    plan.add_argument("recipe", nargs="+", type=Path, help="recipes' TOML files, each a build; - for standard input")
    add_pieces_option(plan, "of each recipe")
    plan.add_argument("--start", default="", metavar="WHEN", help="as 2026-12-01T08:00, this machine's time (now)")
    plan.add_argument("--hours", default="08:00-17:00", help="'08:00-12:00, 12:30-17:00' (%(default)s)")
    plan.add_argument("--days", default="mon-fri", help="from one to another (%(default)s)")
    plan.add_argument(
        "--closed",
        action="append",
        default=[],
        metavar="DATES",
        help="no work then, as 2026-12-24 or 2026-12-24..2027-01-01; may be given several times",
    )
    plan.add_argument("--hands", type=int, default=1, help="pairs of hands, 1 to 8 (%(default)s)")
    add_choice_option(plan)
    add_shop_option(plan)
    plan.add_argument("--seconds", type=float, help="to search (about one, the same plan each time)")
    plan.add_argument(
        "--prove", type=float, default=0.0, metavar="SECONDS", help="search for so much longer, with benchbell[optimal]"
    )
    plan.add_argument("--seed", type=int, default=1, help="of the random numbers (%(default)s)")
    add_json_option(plan)
    plan.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Print the plan; 1 when some of it cannot be planned. Raises Refused when an argument or a recipe is wrong."""
    for name, (least, most) in LIMITS.items():
        value = getattr(args, name)
        if value is not None and not least <= value <= most:
            raise Refused(f"--{name} is {value:g}.", f"Write --{name} with a number from {least:g} to {most:g}.")
    shop = read_shop(args.shop)
    with progress("Compiling"):
        sheets = compile_files(args.recipe, args.pieces, shop, args.chosen)
    for sheet in sheets.values():
        if has_error(sheet):
            raise Refused(findings_text(sheet), "Correct the recipe first.")
    now, open_hours, closed = moment(args.start), week(args.hours, args.days), closed_dates(args.closed)
    asked = PlanRequest(
        builds=new_builds(args.recipe, sheets, now),
        hours=partial(stretches, open_hours, None, now, closed=closed),
        clamps=shop.clamps or {},
        fixtures=shop.fixtures,
        now=now,
        say=lambda ms, at: moment_text(ms, at, None),
        hands=args.hands,
        finishing_room=shop.finishing_room,
    )
    with progress("Planning"):
        presented, found, _ = advise(asked, partial(searched, seconds=args.seconds, seed=args.seed, prove=args.prove))
    unfit = unfit_operations(asked.builds, Air(shop.celsius, shop.humidity))
    plan = with_hands(with_unfit(presented, unfit), found, args.hands)
    if args.json:
        print_json(plan_data(plan))
    else:
        names = Names(asked.builds)
        print(
            "\n".join(
                (*unfit_lines(unfit, names.listed_by_build), *plan_lines(plan, names, hours_line(open_hours, closed)))
            )
        )
    return 1 if plan.unplanned else 0


def numbered(names: Iterable[str]) -> list[str]:
    """The names, made unique: the second of the same name with a 2."""
    found: list[str] = []
    for name in names:
        found.append(next(one for n in count(1) if (one := f"{name} {n}" if n > 1 else name) not in found))
    return found


def new_builds(paths: Sequence[Path], sheets: Mapping[Path, Sheet], now: int) -> list[OpenBuild]:
    """A build that starts now for each recipe: its id made from the file's name, its name from the recipe's title."""
    ids = numbered("recipe" if path == STREAM else path.stem for path in paths)
    names = numbered(sheets[path].title for path in paths)
    return [new_build(id, sheets[path], now, name=name) for id, name, path in zip(ids, names, paths, strict=True)]


def searched(problem: Problem, seconds: float | None, seed: int, prove: float) -> list[Plan]:
    """The best plans found in `seconds`, or else in so many tries as do not depend on the machine.

    The best is improved for `prove` more seconds by the exact solver, if above 0.
    Raises Refused when the exact solver is needed and not installed.
    """
    plans = best_plans(problem, budget_for(problem, seconds), Random(seed))
    if prove <= 0:
        return plans
    better, bound = polish(problem, plans[0], prove, os.cpu_count() or 1)
    return [replace(better, bound=bound)]


def budget_for(problem: Problem, seconds: float | None) -> Budget:
    """So many seconds; without any, so many tries that the plan is the same on every machine."""
    if seconds is not None:
        return within(seconds, time.monotonic)
    return tries(THOROUGH * tries_for(len(problem.ops)))


def new_build(id: str, sheet: Sheet, now: int, name: str) -> OpenBuild:
    """A build that starts now."""
    book = Book()
    book.add(Happening(id, 1, Stamp(now, 0, "0" * 16), id, (), Started(name, sheet, "", {})))
    bench = bench_of(book)
    assert bench is not None
    return OpenBuild(id, name, sheet, bench)


def with_hands(presented: PresentedPlan, plan: Plan, hands: int) -> PresentedPlan:
    """The plan that says whose hands: "1", "2" where several are alike; of one pair nothing is said."""
    if hands == 1:
        return presented
    pairs = ["" if pair == NOBODY else str(pair + 1) for pair in which_hands(plan.placed, hands)]
    steps = zip(presented.steps, pairs, strict=True)
    return replace(presented, steps=tuple(replace(step, hand=step.hand or pair) for step, pair in steps))


def plan_data(plan: PresentedPlan) -> dict[str, Any]:
    """The plan for JSON: times in ISO 8601 with this machine's offset, durations in minutes."""
    return {
        "operations": [step_data(step) for step in plan.steps],
        "start": iso(plan.start),
        "finish": iso(plan.finish),
        "makespan": minutes_between(plan.start, plan.finish),
        "lower_bound": minutes_between(plan.start, plan.bound),
        "setup_changes": plan.changes,
        "overrun": plan.overrun_ms // MINUTE_MS,
        "builds": [
            {"id": f.build, "name": f.name, "finish": iso(f.finish)}
            | {"soonest": iso(f.soonest), "likely": iso(f.likely), "latest": iso(f.latest)}
            for f in plan.forecasts
        ],
        "unplanned": msgspec.to_builtins(plan.unplanned),
    }


def step_data(step: PlannedTask) -> dict[str, Any]:
    """One step of the plan for JSON."""
    return {
        "id": step.operation,
        "build": step.build,
        "piece": step.piece,
        "act": step.act,
        "title": step.title,
        "hand": step.hand,
        "station": step.station,
        "setup": step.setup,
        "setup_start": iso(step.setup_at),
        "start": iso(step.start),
        "end": iso(step.end),
        "clamps": step.clamps,
        "fixtures": step.fixtures,
        "slack": step.slack_ms // MINUTE_MS,
        "reason": step.reason,
    }


def iso(ms: int) -> str:
    """Milliseconds since 1970 as 2026-12-01T08:00:00+01:00."""
    return date_of(ms, None).isoformat(timespec="seconds")


def minutes_between(start: int, end: int) -> int:
    """Whole minutes between two times in ms."""
    return (end - start) // MINUTE_MS

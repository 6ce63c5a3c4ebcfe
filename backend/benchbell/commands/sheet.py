"""`benchbell sheet`: a recipe's operations in order, with what each needs, as text or JSON."""

import argparse
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from benchbell.bench.unclamped import is_unclamped
from benchbell.buildlog.titles import chosen_text
from benchbell.commands.accepted_line import accepted_line, without_accepted
from benchbell.commands.board_lines import board_lines
from benchbell.commands.cutting_list import cutting_list_lines, formulas_made, to_size_lines
from benchbell.commands.help import examples
from benchbell.commands.material_line import material_line
from benchbell.commands.other_pieces import Printed, unlike
from benchbell.commands.output import add_json_option, print_json
from benchbell.commands.progress import progress
from benchbell.commands.recipe_files import (
    add_choice_option,
    add_pieces_option,
    add_shop_option,
    compile_file,
    findings_text,
    has_error,
    read_shop,
)
from benchbell.commands.sheet_cautions import Shared, caution_lines, own_cautions, shared_cautions
from benchbell.durations import MINUTE_MS
from benchbell.findings import counted
from benchbell.recipe.bounds import bounds_text, has_bounds
from benchbell.recipe.measure import TIME, dim_named, show
from benchbell.recipe.sheet import ClockSpec, Hold, Operation, Setup, Sheet
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.times import assembly_minutes
from benchbell.recipe.unfit_air import Air, unfit_air

SETS = ("in-clamps", "rest", "squeeze-out", "recoat", "cure")
"""Clocks of glue or finish that sets, which it does not do in the cold. Rags and deadlines count all the same."""

RAGS = "into a closed metal can with water now, or flat and single outdoors"
"""What a clock of rags asks for at once: its time is that of a ring, not one for which rags may lie."""


def add_to(subparsers: Any) -> None:
    """Add the command."""
    sheet = subparsers.add_parser(
        "sheet",
        help="print a recipe's cutting list and its operations in order",
        description="Print the cutting list of a build, then the cautions, then its operations in an order that can "
        "be worked, each with what it needs and which sizes it makes; then materials, hardware and findings.",
        epilog=examples(
            "benchbell sheet recipes/hall-bench.toml",
            "benchbell sheet recipes/wall-cabinet.toml --set width='52 cm' --pieces 2 --json",
            "benchbell sheet - < recipe.toml",
        ),
    )
    sheet.add_argument("recipe", type=Path, help="a recipe's TOML file, or - for standard input")
    add_pieces_option(sheet, "to build")
    add_choice_option(sheet)
    add_shop_option(sheet)
    sheet.add_argument("--accepted", action="store_true", help="print each accepted warning, not only how many")
    add_json_option(sheet)
    sheet.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Print the sheet of a build; 1 when the recipe has an error. Raises Refused when a file cannot be read."""
    shop = read_shop(args.shop)
    with progress("Compiling"):
        sheet = compile_file(args.recipe, args.pieces, shop, args.chosen)
    if args.json:
        print_json(sheet)
    elif has_error(sheet):
        print(findings_text(sheet), file=sys.stderr)
    else:
        print("\n".join(sheet_lines(sheet, shop, args.accepted)))
    return 1 if has_error(sheet) else 0


def sheet_lines(sheet: Sheet, shop: ShopProfile, accepted: bool = False) -> Iterable[str]:
    """The sheet as text: cutting list, cautions, each operation with what it needs, then materials and hardware.

    accepted: whether each accepted warning is printed. Where the shop's air is too cold or too damp for a glue or
    finish, that is said in place of the times, which would prove nothing.
    """
    attended = minutes(sum(op.minutes for op in sheet.operations))
    pieces = ", ".join(sheet.pieces)
    yield f"{sheet.title}, pieces {pieces}: {counted(len(sheet.operations), 'operation')}, {attended} of attended work"
    yield from (f"chosen: {chosen_text(choice)} [{choice.name}]" for choice in sheet.choices)
    yield ""
    yield from cutting_list_lines(sheet)
    yield from board_lines(sheet)
    shared = shared_cautions(sheet)
    yield ""
    yield from caution_lines(sheet, shared)
    printed: dict[str, Printed] = {}
    for number, op in enumerate(sheet.operations, 1):
        yield ""
        yield f"{number:3}. {op.title}  [{op.id}]"
        lines = list(operation_lines(op, sheet, shop, shared))
        first = printed.setdefault(op.name, Printed(number, op.piece, lines))
        yield from (f"     {line}" for line in (lines if first.number == number else unlike(lines, op, first)))
    yield ""
    for row in sheet.materials:
        yield material_line(row, sheet)
    for item in sheet.hardware:
        yield f"{item.name}: {item.count:g} {item.unit}".rstrip()
    asking = sheet if accepted else without_accepted(sheet)
    if asking.findings:
        yield ""
        yield findings_text(asking)
    if not accepted and (line := accepted_line(sheet.findings)):
        yield ""
        yield line


def operation_lines(op: Operation, sheet: Sheet, shop: ShopProfile, shared: Shared) -> Iterable[str]:
    """The lines below an operation's title. shared: the cautions of stations, which are said elsewhere."""
    unfit = unfit_air(op, sheet.figures, Air(shop.celsius, shop.humidity))
    yield f"{op.station}, {minutes(op.minutes)} attended" if op.minutes else op.station
    yield from (setup_line(op, setup, sheet) for setup in sheet.setups if setup.id == op.setup)
    if op.parts:
        yield f"parts {', '.join(runs_of_copies(op.parts))}" + (f" → {op.makes}" if op.makes else "")
    yield from to_size_lines(op, sheet)
    if fixtures := fixtures_text(op, sheet):
        yield f"in {fixtures}" + (f", held until {op.held_until}" if op.held_until else "")
    if needed := [*op.needs, *(counted(count, f"{kind} clamp") for kind, count in op.clamps.items())]:
        yield f"have ready: {', '.join(needed)}"
    if unfit:
        yield f"! {unfit.why} {unfit.remedy}"
    source = ""
    set_alone = is_unclamped(op)
    for clock in op.clocks:
        times = unfit.instead if unfit and clock.kind in SETS else clock_times(clock)
        if clock.kind == "open":
            times += (
                f", then closed assembly: {'joints driven home' if set_alone else 'clamps tight'} at most "
                f"{minutes(assembly_minutes(op, shop))} from first glue"
            )
        if clock.kind == "rags":
            ring = minutes((clock.least_ms or 0) / MINUTE_MS)
            times = f"{RAGS}; it rings after {ring}, until somebody says they are safe"
        name = "glue setting" if set_alone and clock.kind == "in-clamps" else clock.kind
        yield f"clock {name}: {times}{'' if clock.source == source else f' ({clock.source})'}"
        source = clock.source
    for hold in holds_left(op, sheet):
        yield f"not before {hold.operation}'s {hold.clock} is over"
    yield from (f"waits until {text}" for text in gates(op, sheet))
    made = formulas_made(op, sheet)
    for size in sheet.sizes:
        if size.name in op.measure:
            yield f"measure {size.name}, planned {show(size.plan, dim_named(size.dim), sheet.units)}: {size.measure}"
            if has_bounds(size):
                yield f"{size.name} {bounds_text(size, sheet.units)}: what comes after it waits until it is"
        elif size.name in op.sizes and (f"@{size.name}",) not in made:
            yield f"size {size.name}: {show(size.plan, dim_named(size.dim), sheet.units)}"
    yield from (f"- {step}" for step in op.do)
    yield from (f"check: {check}" for check in op.checks)
    if op.sharpen:
        yield f"then sharpen {', '.join(op.sharpen)}: {minutes(op.sharpen_minutes)} of the time above"
    if own := own_cautions(op, shared):
        yield f"! {', '.join(own)}"


def holds_left(op: Operation, sheet: Sheet) -> list[Hold]:
    """The holds of an operation that none which comes before it had: what held one of those is over long ago."""
    by_id = {other.id: other for other in sheet.operations}
    over: set[Hold] = set()
    seen: set[str] = set()
    ahead = list(op.after)
    while ahead:
        id = ahead.pop()
        if id not in seen:
            seen.add(id)
            over.update(by_id[id].holds)
            ahead += by_id[id].after
    return [hold for hold in op.holds if hold not in over]


def gates(op: Operation, sheet: Sheet) -> Iterable[str]:
    """The sizes with bounds that are measured right before an operation: "moisture is at most 9 %"."""
    measured = {name for other in sheet.operations if other.id in op.after for name in other.measure}
    for size in sheet.sizes:
        if size.name in measured and has_bounds(size):
            yield f"{size.name} is {bounds_text(size, sheet.units)}"


def fixtures_text(op: Operation, sheet: Sheet) -> str:
    """The fixtures that an operation holds: "Form for the bows, 2 × Caul"."""
    titles = {fixture.id: fixture.title for fixture in sheet.fixtures}
    return ", ".join(titles[id] if count == 1 else f"{count} × {titles[id]}" for id, count in op.fixtures.items())


def setup_line(op: Operation, setup: Setup, sheet: Sheet) -> str:
    """A setup on one line: its values, the time to change over to it, and its proof cut."""
    values = [f"{value.name} {show(value.plan, dim_named(value.dim), sheet.units)}" for value in setup.set]
    change = f"{minutes(op.setup_minutes)} to set up" if op.setup_minutes else "already set up"
    prove = f". Prove: {setup.prove}" if setup.prove else ""
    return f"setup {setup.id} ({change}): {', '.join(values)}{prove}"


def runs_of_copies(parts: Sequence[str]) -> list[str]:
    """Ids with runs of copies put together: A/leg-1, A/leg-2, A/leg-3 become A/leg-1…3."""
    runs: list[list[str]] = []
    for id in parts:
        if runs and is_next_copy(runs[-1][-1], id):
            runs[-1].append(id)
        else:
            runs.append([id])
    return [run[0] + (f"…{run[-1].rpartition('-')[2]}" if len(run) > 1 else "") for run in runs]


def is_next_copy(one: str, other: str) -> bool:
    """Whether both are copies of one part and `other` has the next number."""
    (name, _, number), (other_name, _, other_number) = one.rpartition("-"), other.rpartition("-")
    digits = number.isdigit() and other_number.isdigit()
    return digits and name == other_name and int(other_number) == int(number) + 1


def clock_times(clock: ClockSpec) -> str:
    """A clock's least and most time: "at least 30 min, at most 2 h"."""
    least = "" if not clock.least_ms else f"at least {minutes(clock.least_ms / MINUTE_MS)}"
    most = "" if clock.most_ms is None else f"at most {minutes(clock.most_ms / MINUTE_MS)}"
    return ", ".join(text for text in (least, most) if text)


def minutes(value: float) -> str:
    """Minutes as text, such as "1 h 30 min"."""
    return show(value, TIME, "mm")

"""`benchbell sheet`: a recipe's operations in order, with what each needs, as text or JSON."""

import argparse
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from benchbell.buildlog.titles import chosen_text
from benchbell.commands.board_lines import board_lines
from benchbell.commands.cutting_list import cutting_list_lines, formulas_made, to_size_lines
from benchbell.commands.help import examples
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
from benchbell.findings import counted
from benchbell.recipe.bounds import bounds_text, has_bounds
from benchbell.recipe.measure import LENGTH, TIME, dim_named, show
from benchbell.recipe.sheet import ClockSpec, Operation, Setup, Sheet
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.stock import Material
from benchbell.recipe.unfit_air import Air, Unfit, unfit_air

MINUTE_MS = 60_000
SQUARE_FEET_PER_M2 = 10.7639
SETS = ("in-clamps", "rest", "squeeze-out", "recoat", "cure")
"""Clocks of glue or finish that sets, which it does not do in the cold. Rags and deadlines count all the same."""
COUNTED = {
    "solid": ", counted as thick as the boards they are planed from",
    "veneer": ", counted with what stands out over the ground",
}
NEARLY_ALL = 0.98
"""Resawing that saves less than the rest of an amount is not worth a word."""


def add_to(subparsers: Any) -> None:
    """Add the command."""
    sheet = subparsers.add_parser(
        "sheet",
        help="print a recipe's cutting list and its operations in order",
        description="Print the cutting list of a build, then its operations in an order that can be worked, each with "
        "what it needs and which sizes it makes; then cautions, materials, hardware and findings.",
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
        print("\n".join(sheet_lines(sheet, shop)))
    return 1 if has_error(sheet) else 0


def sheet_lines(sheet: Sheet, shop: ShopProfile) -> Iterable[str]:
    """The sheet as text: each operation with what it needs, then cautions, materials and hardware.

    Where the shop's air is too cold or too damp for a glue or finish, that is said in place of the times, which would
    prove nothing.
    """
    air = Air(shop.celsius, shop.humidity)
    attended = minutes(sum(op.minutes for op in sheet.operations))
    pieces = ", ".join(sheet.pieces)
    yield f"{sheet.title}, pieces {pieces}: {counted(len(sheet.operations), 'operation')}, {attended} of attended work"
    yield from (f"chosen: {chosen_text(choice)}" for choice in sheet.choices)
    yield ""
    yield from cutting_list_lines(sheet)
    yield from board_lines(sheet)
    for number, op in enumerate(sheet.operations, 1):
        yield ""
        yield f"{number:3}. {op.title}  [{op.id}]"
        yield from (f"     {line}" for line in operation_lines(op, sheet, unfit_air(op, sheet.figures, air)))
    yield ""
    yield "Cautions. They do not replace the tool maker's manual or the glue's label:"
    for name, text in sheet.cautions.items():
        yield f"  ! {name}: {text}"
    yield ""
    for row in sheet.materials:
        yield material_line(row, sheet)
    for item in sheet.hardware:
        yield f"{item.name}: {item.count:g} {item.unit}".rstrip()
    if sheet.findings:
        yield ""
        yield findings_text(sheet)


def material_line(row: Material, sheet: Sheet) -> str:
    """One stock of the cut summary on a line."""
    amount = f"{row.amount:.3g} {row.unit}"
    if row.unit == "mm":
        amount = show(row.amount, LENGTH, sheet.units)
    elif row.unit == "m²" and sheet.units == "in":
        amount = f"{row.amount * SQUARE_FEET_PER_M2:.3g} ft²"
    volume = f" ({row.cubic_m:.3g} m³)" if row.material == "solid" else ""
    allowance = f" with {row.allowance_percent:g} % allowance" if row.allowance_percent else ""
    parts = f", {row.parts} part{'s' if row.parts > 1 else ''}" if row.parts else ""
    bought = COUNTED.get(row.material, "")
    resawn = f"; {row.resawn:.3g} if thin ones are resawn" if 0 < row.resawn < row.amount * NEARLY_ALL else ""
    return f"{row.stock}: {amount}{volume}{allowance}{parts}{bought}{resawn}"


def operation_lines(op: Operation, sheet: Sheet, unfit: Unfit | None) -> Iterable[str]:
    """The lines below an operation's title. unfit: why it is not done in the shop's air, None when it is."""
    yield f"{op.station}, {minutes(op.minutes)} attended"
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
    for clock in op.clocks:
        times = unfit.instead if unfit and clock.kind in SETS else clock_times(clock)
        yield f"clock {clock.kind}: {times} ({clock.source})"
    for hold in op.holds:
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
    if op.cautions:
        yield f"! {', '.join(op.cautions)}"


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
    least = "" if clock.least_ms is None else f"at least {minutes(clock.least_ms / MINUTE_MS)}"
    most = "" if clock.most_ms is None else f"at most {minutes(clock.most_ms / MINUTE_MS)}"
    return ", ".join(text for text in (least, most) if text)


def minutes(value: float) -> str:
    """Minutes as text, such as "1 h 30 min"."""
    return show(value, TIME, "mm")

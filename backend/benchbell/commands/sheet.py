"""`benchbell sheet`: a recipe's operations in order, with what each needs, as text or JSON."""

import argparse
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from benchbell.buildlog.titles import chosen_text
from benchbell.commands.accepted_line import accepted_line, without_accepted
from benchbell.commands.board_lines import board_lines
from benchbell.commands.cutting_list import cutting_list_lines
from benchbell.commands.help import examples
from benchbell.commands.material_line import material_line
from benchbell.commands.operation_lines import minutes, operation_lines
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
from benchbell.commands.sheet_cautions import caution_lines, shared_cautions
from benchbell.findings import counted
from benchbell.recipe.sheet import Sheet
from benchbell.recipe.shop_profile import ShopProfile


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

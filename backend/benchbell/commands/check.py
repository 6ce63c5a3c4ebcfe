"""`benchbell check`: the findings of recipes, or the JSON Schema of the recipe language."""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import msgspec
from msgspec import Struct

from benchbell.commands.help import examples
from benchbell.commands.output import add_json_option, print_json
from benchbell.commands.progress import progress
from benchbell.commands.recipe_files import (
    add_choice_option,
    add_pieces_option,
    add_shop_option,
    compile_file,
    findings_text,
    pieces_named,
    read_shop,
    read_text,
    shared_out,
)
from benchbell.findings import Refused
from benchbell.recipe.sheet import Sheet
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.written import Recipe


def add_to(subparsers: Any) -> None:
    """Add the command."""
    check = subparsers.add_parser(
        "check",
        help="say what is wrong, or worth knowing, about recipes",
        description="Say what is wrong, or worth knowing, about recipes: file, line, grade, what, and what to do. The "
        "exit code is 1 when a recipe has an error or cannot be read. A warning's name stands in brackets after it; by "
        "that name it can be accepted in the recipe where it stands, with your reason, for all parts or "
        'for one: accept = { no-dry-fit = "A single lap joint." } or { part-too-small = { spline = "…" } }',
        epilog=examples(
            "benchbell check recipes/hall-bench.toml",
            "benchbell check --strict --pieces 6 recipes/*.toml",
            "benchbell check --json - < recipe.toml",
            "benchbell check --schema > recipe.schema.json",
        ),
    )
    check.add_argument("recipe", nargs="*", type=Path, help="a recipe's TOML file, or - for standard input")
    check.add_argument(
        "--schema", action="store_true", help="print the JSON Schema of the recipe language, for editors"
    )
    check.add_argument("--strict", action="store_true", help="let warnings fail too, except accepted ones")
    add_pieces_option(check, "of each recipe")
    add_choice_option(check)
    add_shop_option(check)
    add_json_option(check)
    check.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Print the findings of each recipe; 1 when one has an error, with `--strict` or a warning, or cannot be read.

    Raises Refused when no recipe is named or the shop's file cannot be read.
    """
    if args.schema:
        print_json(schema())
        return 0
    if not args.recipe:
        raise Refused("No recipe is named.", "Write benchbell check recipes/NAME.toml.")
    shop = read_shop(args.shop)
    pieces = max(args.pieces, pieces_named(args.chosen))
    with progress("Checking"):
        sheets, refused = compiled_files(args.recipe, pieces, shop, args.chosen)
    findings = [finding for sheet in sheets for finding in sheet.findings]
    if args.json:
        print_json({"findings": findings, "refused": refused})
    else:
        for sheet in sheets:
            print(findings_text(sheet))
    for one in refused:
        print(f"{one.error}\n{one.next_step}", file=sys.stderr)
    failing = {"error", "warning"} if args.strict else {"error"}
    return 1 if refused or any(finding.grade in failing for finding in findings) else 0


class RefusedFile(Struct, frozen=True):
    """A file that cannot be read, and why."""

    file: str
    error: str
    next_step: str


def compiled_files(
    paths: Sequence[Path], pieces: int, shop: ShopProfile, chosen: Sequence[str]
) -> tuple[list[Sheet], list[RefusedFile]]:
    """The sheets of the recipes that can be read, each with its answers of those chosen; and the files that cannot.

    Raises Refused for an answer without a name, or that no recipe asks for.
    """
    sheets: list[Sheet] = []
    refused: list[RefusedFile] = []
    readable: list[Path] = []
    for path in paths:
        try:
            read_text(path)
            readable.append(path)
        except Refused as error:
            refused.append(RefusedFile(str(path), error.what, error.next_step))
    for path, own in shared_out(chosen, readable, shop).items():
        try:
            sheets.append(compile_file(path, pieces, shop, own))
        except Refused as error:
            refused.append(RefusedFile(str(path), error.what, error.next_step))
    return sheets, refused


def schema() -> dict[str, Any]:
    """The JSON Schema of the recipe language: with it, editors complete keys and mark mistakes."""
    whole = {"$schema": "https://json-schema.org/draft/2020-12/schema", **msgspec.json.schema(Recipe)}
    return {key: with_formulas(value) for key, value in whole.items()}


def with_formulas(part: Any) -> Any:
    """A part of the schema that takes a formula wherever it takes a number with bounds."""
    if isinstance(part, list):
        return [with_formulas(one) for one in part]
    if not isinstance(part, dict):
        return part
    if part.get("type") not in ("integer", "number") or not {"minimum", "exclusiveMinimum"} & part.keys():
        return {key: with_formulas(value) for key, value in part.items()}
    return part | {"type": [part["type"], "string"]}

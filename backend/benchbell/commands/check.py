"""`benchbell check`: the findings of recipes, or the JSON Schema of the recipe language."""

import argparse
from pathlib import Path
from typing import Any

import msgspec

from benchbell.commands.output import add_json_option, print_json
from benchbell.commands.recipe_files import (
    add_choice_option,
    add_shop_option,
    compile_files,
    findings_text,
    has_error,
    pieces_named,
    read_shop,
)
from benchbell.findings import Refused
from benchbell.recipe.written import Recipe


def add_to(subparsers: Any) -> None:
    """Add the command."""
    check = subparsers.add_parser("check", help="say what is wrong, or worth knowing, about recipes")
    check.add_argument("recipe", nargs="*", type=Path, help="a recipe's TOML file")
    check.add_argument(
        "--schema", action="store_true", help="print the JSON Schema of the recipe language, for editors"
    )
    add_choice_option(check)
    add_shop_option(check)
    add_json_option(check)
    check.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Print the findings of each recipe; 1 when one has an error.

    Raises Refused when no recipe is named or a file cannot be read.
    """
    if args.schema:
        print_json(schema())
        return 0
    if not args.recipe:
        raise Refused("No recipe is named.", "Write benchbell check recipes/NAME.toml.")
    shop = read_shop(args.shop)
    sheets = list(compile_files(args.recipe, pieces_named(args.chosen), shop, args.chosen).values())
    if args.json:
        print_json({"findings": [finding for sheet in sheets for finding in sheet.findings]})
    else:
        for sheet in sheets:
            print(findings_text(sheet))
    return 1 if any(has_error(sheet) for sheet in sheets) else 0


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

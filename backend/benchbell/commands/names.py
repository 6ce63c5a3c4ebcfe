"""`benchbell names`: every name that a recipe may use for a station, glue, finish, clamp, wood, caution or warning."""

import argparse
from collections.abc import Iterable, Sequence
from typing import Any

from benchbell.commands.help import examples
from benchbell.commands.output import add_json_option, print_result
from benchbell.recipe.warning_rules import WARNINGS
from benchbell.trade.names import TABLES, NamedThing, names_of

KINDS = (*TABLES, "warning")


def add_to(subparsers: Any) -> None:
    """Add the command."""
    names = subparsers.add_parser(
        "names",
        help="list the names that a recipe may use",
        description="List every name that a recipe may use, with other names of the same: stations, glues, finishes, "
        "kinds of clamp, woods, cautions, and the warnings that it may accept.",
        epilog=examples("benchbell names", "benchbell names station", "benchbell names wood --json"),
    )
    names.add_argument(
        "kind", nargs="?", type=singular, choices=KINDS, help="one kind alone: station, glue, finish, …", metavar="KIND"
    )
    add_json_option(names)
    names.set_defaults(run=run)


def singular(kind: str) -> str:
    """A kind in the singular: "glues" is "glue", "finishes" is "finish"."""
    return next((one for one in KINDS if kind in (one, f"{one}s", f"{one}es")), kind)


def run(args: argparse.Namespace) -> int:
    """Print the names of one kind, or of all kinds."""
    named = {kind: things(kind) for kind in ([args.kind] if args.kind else KINDS)}
    text = "\n\n".join("\n".join(lines(kind, rows, args.kind is None)) for kind, rows in named.items())
    print_result(args, {"names": named}, text)
    return 0


def things(kind: str) -> Sequence[NamedThing]:
    """The things of a kind."""
    if kind == "warning":
        return [NamedThing(rule, (), about) for rule, about in WARNINGS.items()]
    return names_of(kind)


def lines(kind: str, rows: Iterable[NamedThing], with_heading: bool) -> Iterable[str]:
    """A line for each thing, with its other names and what it is; below a heading where there are several kinds."""
    if with_heading:
        yield f"{kind.upper()}"
    for row in rows:
        about = row.about if row.about.casefold() != row.name.casefold() else ""
        also = f"also {', '.join(row.also)}" if row.also else ""
        yield "  ".join(filter(None, [f"{row.name:18}", "; ".join(filter(None, [about, also]))])).rstrip()

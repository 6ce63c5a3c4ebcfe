"""`benchbell names`: every name that a recipe may use, by kind: stations, glues, woods … and fragments."""

import argparse
from collections.abc import Iterable, Sequence
from typing import Any

from benchbell.commands.fragment_lines import fragment_lines, fragment_shown, fragments_named
from benchbell.commands.help import examples
from benchbell.commands.output import add_json_option, print_result
from benchbell.findings import Refused
from benchbell.recipe.warning_rules import WARNINGS
from benchbell.trade.names import TABLES, NamedThing, names_of

KINDS = (*TABLES, "warning", "fragment")


def add_to(subparsers: Any) -> None:
    """Add the command."""
    names = subparsers.add_parser(
        "names",
        help="list the names that a recipe may use",
        description="List every name that a recipe may use, with other names of the same: stations, glues, finishes, "
        "kinds of clamp, woods, cautions, the warnings that it may accept, and fragments; of one fragment "
        "all that a use of it asks and makes.",
        epilog=examples("benchbell names", "benchbell names wood --json", "benchbell names fragment dovetailed-drawer"),
    )
    names.add_argument(
        "kind", nargs="?", type=singular, choices=KINDS, help="one kind alone: station, glue, finish, …", metavar="KIND"
    )
    names.add_argument("name", nargs="?", help="one fragment's name: its choices and what it makes", metavar="NAME")
    add_json_option(names)
    names.set_defaults(run=run)


def singular(kind: str) -> str:
    """A kind in the singular: "glues" is "glue", "finishes" is "finish"."""
    return next((one for one in KINDS if kind in (one, f"{one}s", f"{one}es")), kind)


def run(args: argparse.Namespace) -> int:
    """Print the names of one kind, or of all kinds, or one fragment. Raises Refused when there is no such fragment."""
    if args.name is not None:
        if args.kind != "fragment":
            raise Refused(f"Only a fragment is shown by its name, not a {args.kind}.", f"Leave out {args.name}.")
        shown = fragment_shown(args.name)
        print_result(args, {"fragment": shown}, "\n".join(fragment_lines(shown)))
        return 0
    named = {kind: things(kind) for kind in ([args.kind] if args.kind else KINDS)}
    text = "\n\n".join("\n".join(lines(kind, rows, args.kind is None)) for kind, rows in named.items())
    print_result(args, {"names": named}, text)
    return 0


def things(kind: str) -> Sequence[NamedThing]:
    """The things of a kind."""
    if kind == "warning":
        return [NamedThing(rule, (), about) for rule, about in WARNINGS.items()]
    return fragments_named() if kind == "fragment" else names_of(kind)


def lines(kind: str, rows: Iterable[NamedThing], with_heading: bool) -> Iterable[str]:
    """A line for each thing, with its other names and what it is; below a heading where there are several kinds."""
    if with_heading:
        yield f"{kind.upper()}"
    for row in rows:
        about = row.about if row.about.casefold() != row.name.casefold() else ""
        also = f"also {', '.join(row.also)}" if row.also else ""
        yield "  ".join(filter(None, [f"{row.name:18}", "; ".join(filter(None, [about, also]))])).rstrip()

"""`benchbell salvage`: what can be read of damaged records, in a new data folder."""

import argparse
from pathlib import Path
from typing import Any

from benchbell.commands.data_folder import add_data_option
from benchbell.commands.help import examples
from benchbell.commands.output import add_json_option, print_result
from benchbell.store.salvage import salvage


def add_to(subparsers: Any) -> None:
    """Add the command."""
    parser = subparsers.add_parser(
        "salvage",
        help="save what can be read of damaged records into a new folder",
        description="Copies what can be read of damaged records, with the photos and keys that are there, into a new "
        "data folder. The damaged one stays as it is. Phones then send again what is missing.",
        epilog=examples("benchbell salvage saved", "benchbell salvage saved --data damaged"),
    )
    parser.add_argument("folder", type=Path, help="the new data folder, which must not exist yet")
    add_data_option(parser)
    add_json_option(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Save what can be read, and print how much that was. Raises Refused when nothing can be."""
    saved = salvage(args.data, args.folder)
    lines = [f"Saved: {saved.happenings:,} entries, with the photos and keys that are there, in {args.folder}"]
    if saved.missing:
        lines.append(
            f"At least {saved.missing:,} entries are gone. "
            "Open the page on every phone: one that has them sends them again."
        )
    if "device" in saved.unread:
        lines.append("Which phones are paired could not all be read. Pair those that are asked to.")
    lines.append(f"Start the server on it with: benchbell serve --data {args.folder}. Leave the old folder as it is.")
    print_result(args, saved, "\n".join(lines))
    return 0

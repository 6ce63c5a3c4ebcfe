"""`benchbell backup` and `benchbell restore`: a verified copy of all records, and back again."""

import argparse
from pathlib import Path
from typing import Any

from benchbell.commands.data_folder import add_data_option
from benchbell.commands.output import add_json_option, print_result
from benchbell.store.backup import Backup, back_up, restore


def add_to(subparsers: Any) -> None:
    """Add both commands."""
    copy = subparsers.add_parser("backup", help="write a verified copy of everything, while the server runs")
    copy.add_argument("file", type=Path, help="the zip to write; it must not exist yet")
    copy.add_argument("--with-damage", action="store_true", help="copy what is there although some of it is damaged")
    copy.set_defaults(run=run_backup)
    back = subparsers.add_parser("restore", help="put a backup into an empty data folder")
    back.add_argument("file", type=Path, help="a zip that benchbell backup wrote")
    back.set_defaults(run=run_restore)
    for command in (copy, back):
        add_data_option(command)
        add_json_option(command)


def run_backup(args: argparse.Namespace) -> int:
    """Write the backup and print what is in it. Raises Refused when it cannot be written or read back."""
    return print_backup(args, "Backed up and read back", back_up(args.data, args.file, args.with_damage))


def run_restore(args: argparse.Namespace) -> int:
    """Restore a backup and print what was in it. Raises Refused when the backup or the folder will not do."""
    return print_backup(args, "Restored and checked", restore(args.file, args.data))


def print_backup(args: argparse.Namespace, done: str, made: Backup) -> int:
    """Print one line about a backup; 0."""
    counts = f"{made.happenings} happenings, {made.files} files, {made.bytes:,} bytes"
    if made.damaged:
        counts += f", {made.damaged} of them damaged"
    print_result(args, made, f"{done}: {counts}, {made.file}")
    return 0

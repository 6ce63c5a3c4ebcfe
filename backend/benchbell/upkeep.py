"""`benchbell backup` and `restore`: copies of the records."""

import argparse
from pathlib import Path
from typing import Any

from benchbell.serving import data_folder
from benchbell.store.backup import Backup, back_up, restore


def add_to(subparsers: Any) -> None:
    """Add the commands."""
    copy = subparsers.add_parser("backup", help="write a verified copy of everything, while the server runs")
    copy.add_argument("file", type=Path, help="the zip to write; it must not be there yet")
    copy.set_defaults(run=run_backup)
    back = subparsers.add_parser("restore", help="put a backup into an empty data folder")
    back.add_argument("file", type=Path, help="a zip that benchbell backup wrote")
    back.set_defaults(run=run_restore)
    for command in (copy, back):
        command.add_argument("--data", type=Path, default=data_folder(), help="folder of the records (%(default)s)")
        command.add_argument("--json", action="store_true", help="print one JSON object")


def run_backup(args: argparse.Namespace) -> int:
    """Back up, and say what is in it."""
    return tell(args, "Backed up and read back", back_up(args.data, args.file))


def run_restore(args: argparse.Namespace) -> int:
    """Restore, and say what came."""
    return tell(args, "Restored and checked", restore(args.file, args.data))


def tell(args: argparse.Namespace, done: str, backup: Backup) -> int:
    """One line on the terminal."""
    if args.json:
        import msgspec

        print(msgspec.json.encode(backup).decode())
    else:
        print(f"{done}: {backup.happenings} happenings, {backup.files} files, {backup.bytes:,} bytes, {backup.file}")
    return 0

"""`benchbell backup` and `benchbell restore`: a verified copy of all records, and back again."""

import argparse
from pathlib import Path
from typing import Any

from benchbell.commands.data_folder import add_data_option, require_records
from benchbell.commands.help import examples
from benchbell.commands.output import add_json_option, print_result
from benchbell.commands.progress import progress
from benchbell.findings import Refused, are, counted
from benchbell.settings import now_ms
from benchbell.store.backup import Backup, back_up
from benchbell.store.backup_folder import back_up_into, newest_backup, note_folder
from benchbell.store.rehearsal import Rehearsal, rehearse
from benchbell.store.restore import restore


def add_to(subparsers: Any) -> None:
    """Add both commands."""
    copy = subparsers.add_parser(
        "backup",
        help="write a verified copy of everything, while the server runs",
        description="Write a copy of all records, photos and the authority, and read it back from the disk, while the "
        "server runs. With --rehearse nothing is written: the newest backup is restored for a trial and compared.",
        epilog=examples(
            "benchbell backup /media/backups/benchbell.zip",
            "benchbell backup /media/backups --keep 14",
            "benchbell backup --rehearse",
        ),
    )
    copy.add_argument(
        "file", type=Path, nargs="?", help="the zip to write, which must not exist yet; or a folder for a dated one"
    )
    copy.add_argument("--with-damage", action="store_true", help="copy what is there although some of it is damaged")
    copy.add_argument("--keep", type=int, metavar="N", help="in a folder, delete the oldest dated backups beyond N")
    copy.add_argument(
        "--rehearse",
        action="store_true",
        help="write nothing: restore that backup, or the newest one, into a temporary folder and compare it",
    )
    copy.set_defaults(run=run_backup)
    back = subparsers.add_parser(
        "restore",
        help="put a backup into an empty data folder",
        description="Put a backup into a data folder that is empty or not there: all of it at once, or nothing.",
        epilog=examples("benchbell restore /media/backups/benchbell.zip", "benchbell restore backup.zip --data new"),
    )
    back.add_argument("file", type=Path, help="a zip that benchbell backup wrote")
    back.set_defaults(run=run_restore)
    for command in (copy, back):
        add_data_option(command)
        add_json_option(command)


def run_backup(args: argparse.Namespace) -> int:
    """Write the backup and print what is in it. Raises Refused when it cannot be written or read back."""
    if args.rehearse:
        return run_rehearsal(args)
    require_records(args.data)
    if args.file is None:
        raise Refused("benchbell backup needs a place.", "Add a file to write, or a folder for dated backups.")
    if args.keep is not None and (args.keep < 1 or not args.file.is_dir()):
        raise Refused(f"--keep {args.keep} does not fit {args.file}.", "Give a folder, and keep 1 or more.")
    with progress("Backing up"):
        if args.file.is_dir():
            made = back_up_into(args.data, args.file, now_ms(), args.keep, args.with_damage)
        else:
            made = back_up(args.data, args.file, args.with_damage)
            note_folder(args.data, args.file.absolute().parent)
    return print_backup(args, "Backed up and read back", made)


def run_restore(args: argparse.Namespace) -> int:
    """Restore a backup and print what was in it. Raises Refused when the backup or the folder will not do."""
    with progress("Restoring"):
        made = restore(args.file, args.data)
    return print_backup(args, "Restored and checked", made)


def print_backup(args: argparse.Namespace, done: str, made: Backup) -> int:
    """Print what was done, and what was not; 0."""
    counts = ", ".join((*held(made.happenings, made.files), counted(made.bytes, "byte")))
    lines = [f"{done}: {counts}, {made.file}"]
    if made.unsaid:
        lines.append(
            "It does not say how much it has to hold, so nobody can tell whether anything is missing. "
            "Try a newer backup, or open the page on every phone: they send again what they have."
        )
    if made.damaged_entries:
        lines.append(f"Entries that are damaged: {made.damaged_entries}. A phone that has one sends it again.")
    if made.fuller:
        lines.append(
            f"{made.fuller} holds more entries than there are now, so no older backup was deleted. Find out why; "
            "benchbell restore puts one into an empty folder."
        )
    if made.missing:
        lines.append(
            f"Photos that the log names and that are not here: {made.missing}. "
            "Open the page on every phone: one that has them sends them."
        )
    if made.left_out:
        lines.append(f"Left out, as links and other backups are: {shortened(made.left_out)}.")
    if made.damaged:
        lines.append(f"{DAMAGED}: {shortened(made.damaged)}. A phone that has one sends it again.")
    print_result(args, made, "\n".join(lines))
    return 0


def held(happenings: int, files: int) -> tuple[str, str]:
    """How much a backup holds, in words."""
    return counted(happenings, "happening"), counted(files, "file")


DAMAGED = "Photos that are damaged, since they do not hold what their names say"


def shortened(names: tuple[str, ...]) -> str:
    """The first few names, and how many more there are."""
    more = f" and {len(names) - 3} more" if len(names) > 3 else ""
    return f"{', '.join(names[:3])}{more}"


def run_rehearsal(args: argparse.Namespace) -> int:
    """Rehearse a restore and print how it went; 1 when something of the backup or the records is not as it was.

    Raises Refused when there is no backup, or it cannot be restored.
    """
    if args.file is None:
        require_records(args.data)
    with progress("Rehearsing a restore"):
        found = rehearse(newest_backup(args.data, args.file), args.data)
    print_result(args, found, "\n".join(report(found)))
    return 0 if found.is_good else 1


def report(found: Rehearsal) -> list[str]:
    """A rehearsal in sentences."""
    lines = [f"Restored for a trial and opened: {', '.join(held(found.happenings, found.files))}, {found.file}"]
    if not found.compared:
        lines.append("There are no records to compare it with.")
    elif found.is_good:
        lines.append(f"All of it is in the records as it was; {counted(found.newer, 'happening')} came since.")
    if found.is_good:
        return lines
    if found.different:
        lines.append(
            f"{counted(found.different, 'happening')} of the backup {are(found.different)} not in the records, "
            "or not as before."
        )
    if found.gone:
        lines.append(f"Files that the data folder has no more: {shortened(found.gone)}.")
    if found.damaged:
        lines.append(f"{DAMAGED}: {shortened(found.damaged)}.")
    if found.other_authority:
        lines.append("The certificate authority is not that of the backup: each phone would have to trust it again.")
    return [*lines, "Keep this backup and the data folder as they are until you know why."]

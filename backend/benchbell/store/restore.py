"""Restoring a backup: the whole data folder appears at once, checked, or nothing does."""

import errno
import sqlite3
from contextlib import closing
from pathlib import Path

from benchbell.findings import Refused
from benchbell.store.backup import Backup, count_damaged, counts, fault_in
from benchbell.store.backup_zip import Contents, not_whole, sync_folders, unpack
from benchbell.store.connection import connect
from benchbell.store.database import FILE_NAME, migrate
from benchbell.store.errors import Damaged, DiskFull, StoreError, disk_error, disk_full, in_words
from benchbell.store.log_epoch import NEW_EPOCH
from benchbell.store.photos import damaged_photos
from benchbell.store.tables import APPLICATION, VERSIONS
from benchbell.store.whole_file import make_folder, sync_to_disk
from benchbell.store.workplace import workplace_in


def restore(backup: Path, folder: Path) -> Backup:
    """Put a backup into a data folder that is empty or not there, check it and begin a new epoch in it.

    It is unpacked beside the folder and takes its name only when all of it is checked and on the disk. A photo that
    does not hold what its name says is left out, so that a phone which has it can send it again.
    Raises Refused when the folder holds anything or the zip is not a whole backup; StoreError when the disk fails.
    """
    folder = folder.resolve()
    check_empty(folder)
    check_not_within(folder)
    try:
        make_folder(folder.parent)
        with workplace_in(folder.parent) as place:
            new = place / "data"
            contents = unpack(backup, new)
            happenings = check_records(new, backup, contents)
            entries, damaged = count_damaged(new / FILE_NAME), damaged_photos(new)
            for name in damaged:
                (new / name).unlink()
            files = sum(1 for one in new.rglob("*") if one.is_file())
            sync_to_disk(new / FILE_NAME)
            sync_folders(new)
            take_name(new, folder)
    except OSError as error:
        raise disk_error(error, folder.parent) from error
    except DiskFull as error:
        raise disk_full(folder.parent) from error
    size, unsaid = backup.stat().st_size, contents is None
    return Backup(str(backup), happenings, files, size, damaged, damaged_entries=entries, unsaid=unsaid)


def check_empty(folder: Path) -> None:
    """Raises Refused unless the folder is empty or not there."""
    try:
        names = sorted(one.name for one in folder.iterdir())
    except FileNotFoundError:
        return
    except OSError as error:
        raise Refused(f"{folder} cannot be used ({error.strerror}).", "Choose another folder with --data.") from error
    if FILE_NAME in names:
        raise Refused(
            f"{folder} holds records already.",
            "Move that folder away, do not delete it, or choose another with --data.",
        )
    if names:
        more = f" and {len(names) - 1} more" if len(names) > 1 else ""
        raise Refused(
            f"{folder} is not empty: it holds {names[0]}{more}.",
            "Choose an empty or a new folder with --data; a restore touches nothing else.",
        )


def check_not_within(folder: Path) -> None:
    """Raises Refused for a place inside another data folder: it would go into every backup of that."""
    outer = next((parent for parent in folder.parents if (parent / FILE_NAME).exists()), None)
    if outer is not None:
        raise Refused(f"{folder} is inside the data folder {outer}.", "Choose a place outside it with --data.")


def check_records(folder: Path, backup: Path, contents: Contents | None) -> int:
    """Check the unpacked records, bring them up to date and begin a new epoch; gives how many happenings.

    Raises Refused when they are damaged, lack anything or belong to another program; StoreError when the disk fails.
    """
    try:
        with closing(connect(folder / FILE_NAME)) as db:
            strange = db.execute("SELECT count(*) FROM sqlite_schema WHERE type IN ('trigger', 'view')").fetchone()[0]
            strange |= db.execute("PRAGMA application_id").fetchone()[0] != APPLICATION
            wanted = counts(db) if contents is None else contents.tables
            if strange or "happening" not in wanted:
                raise not_whole(backup, "its records are not Benchbell's")
            wrong = fault_in(db, wanted)
            if wrong:
                raise not_whole(backup, wrong)
            migrate(db, backup, VERSIONS)
            db.execute(NEW_EPOCH)
            return wanted["happening"]
    except sqlite3.Error as error:
        raise told_of(in_words(error, backup), backup) from error
    except Refused as error:
        raise told_of(error, backup) from error


def told_of(error: Refused, backup: Path) -> Refused:
    """The refusal of records in a backup: damage is the backup's, anything else is as it is."""
    is_of_disk = isinstance(error, StoreError) and not isinstance(error, Damaged)
    if is_of_disk or error.what.startswith(str(backup)):
        return error
    return not_whole(backup, error.what.removesuffix("."))


def take_name(new: Path, folder: Path) -> None:
    """Give the folder its name, in place of an empty one. Raises Refused when something came there meanwhile."""
    try:
        new.rename(folder)
    except OSError as error:
        if error.errno in (errno.ENOTEMPTY, errno.EEXIST, errno.ENOTDIR):
            check_empty(folder)
        if error.errno in (errno.EBUSY, errno.EXDEV):
            raise Refused(
                f"{folder} is a disk of its own and cannot be replaced.",
                f"Name a new folder on it, such as --data {folder / 'benchbell'}.",
            ) from error
        raise
    sync_to_disk(folder.parent)

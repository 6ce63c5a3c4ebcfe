"""A verified copy of the data folder, taken while the server runs; store/restore.py puts it back.

A backup is one zip: the database, the photos, the keys, and how much it has to hold. The copy of the database begins a
new log epoch, so phones notice a restore and send again what the backup lacks.
"""

import os
import sqlite3
import zipfile
from contextlib import closing, suppress
from pathlib import Path

import msgspec
from msgspec import Struct

from benchbell.findings import Refused, are, counted
from benchbell.store.backup_zip import CONTENTS_NAME, SQLITE_FILES, Contents, is_backup
from benchbell.store.connection import connect
from benchbell.store.database import FILE_NAME, check_not_lost, migrate, rebuild_indexes
from benchbell.store.errors import RESTORE, Damaged, DiskFull, disk_full, in_words
from benchbell.store.happenings import photos_in_log
from benchbell.store.log_epoch import NEW_EPOCH
from benchbell.store.photos import damaged_photos, photo_names
from benchbell.store.scrub import damaged_entries
from benchbell.store.tables import VERSIONS
from benchbell.store.whole_file import sync_to_disk
from benchbell.store.workplace import workplace_in


class Backup(Struct, frozen=True):
    """What a backup holds.

    damaged: photos that do not hold what their names say. left_out: of the data folder, links and other backups.
    damaged_entries: how many entries are not as they were stored. fuller: an older backup in the same folder that holds
    more entries, or "". missing: how many photos the log speaks of that are not here, lost or not sent yet.
    unsaid: it does not say how much it has to hold, so nobody can tell whether anything is missing.
    """

    file: str
    happenings: int
    files: int
    bytes: int
    damaged: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    damaged_entries: int = 0
    fuller: str = ""
    missing: int = 0
    unsaid: bool = False


WITH_DAMAGE = (
    "Open the page on every paired phone: one that has it sends it again. "
    "To copy what is there all the same, add --with-damage."
)


class Packed(Struct, frozen=True):
    """How many files went into a zip, which did not, and how many photos of the log are not there."""

    files: int
    left_out: tuple[str, ...]
    missing: int


def back_up(folder: Path, target: Path, with_damage: bool = False) -> Backup:
    """Write and verify a backup of the data folder. Nothing appears under `target` before it is complete.

    with_damage: back up what is there although some entries or photos are not as they were stored.
    Raises Refused when the target exists or is inside the data folder, there are no records, or the copy is damaged or
    incomplete; StoreError when the records cannot be read.
    """
    if target.exists():
        raise Refused(f"{target} is there already.", "Choose another name; a backup never overwrites one.")
    check_outside(target, folder)
    try:
        with workplace_in(target.absolute().parent) as place:
            copy = place / FILE_NAME
            happenings = copy_database(folder / FILE_NAME, copy)
            damaged, entries = damaged_photos(folder), count_damaged(copy)
            if (damaged or entries) and not with_damage:
                raise Refused(f"{damage_words(entries, len(damaged))} damaged: this is no whole copy.", WITH_DAMAGE)
            packed = pack(folder, copy, place / "backup.zip")
            (place / "backup.zip").replace(target)
        sync_to_disk(target.absolute().parent)
    except DiskFull as error:
        raise disk_full(target) from error
    except OSError as error:
        raise Refused(
            f"{target} cannot be written ({error.strerror}).", "Choose another place, or make room."
        ) from error
    size = target.stat().st_size
    return Backup(
        str(target), happenings, packed.files, size, damaged, packed.left_out, entries, missing=packed.missing
    )


def count_damaged(database: Path) -> int:
    """How many entries of a database with the newest tables are not as they were stored."""
    with closing(connect(database)) as db:
        return len(tuple(damaged_entries(db)))


def damage_words(entries: int, photos: int) -> str:
    """How much is damaged, for a person, up to "is" or "are"."""
    named = ((entries, "entry", "entries"), (photos, "photo", "photos"))
    said = " and ".join(counted(*one) for one in named if one[0])
    return f"{said} {are(entries + photos)}"


def check_outside(target: Path, folder: Path) -> None:
    """Raises Refused for a place inside the data folder: each backup would hold those before it."""
    if target.resolve().is_relative_to(folder.resolve()):
        raise Refused(
            f"{target} is inside the data folder {folder}.", "Choose a place outside it, best on another disk."
        )


def copy_database(source: Path, copy: Path) -> int:
    """Copy the records as of one moment, check the copy and begin a new epoch in it; gives how many happenings.

    A copy of older tables is brought up to date; the original is not touched. Raises StoreError when a file cannot be
    read or written, Refused when there are no records or the copy lacks anything.
    """
    check_not_lost(source)  # before anything opens it: SQLite would make an empty file whole
    if not source.exists():
        raise Refused(f"There are no records in {source.parent}.", "Choose the data folder with --data.")
    with closing(connect(source)) as db, closing(connect(copy)) as to:
        try:
            db.execute("BEGIN")
            wanted = counts(db)
            db.backup(to)
            db.execute("ROLLBACK")
            to.execute("PRAGMA journal_mode = DELETE")
            wrong = fault_in(to, wanted)
            if wrong:
                raise Damaged(f"{source} is damaged ({wrong}).", RESTORE)
            migrate(to, source, VERSIONS)
            to.execute(NEW_EPOCH)  # and at each restore: somebody may unpack it by hand, or restore it twice
        except sqlite3.Error as error:
            raise in_words(error, source) from error
    return wanted["happening"]


def counts(db: sqlite3.Connection) -> dict[str, int]:
    """How many rows each table holds."""
    names = [row[0] for row in db.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")]
    quoted = {name: name.replace('"', '""') for name in names}
    return {name: db.execute(f'SELECT count(*) FROM "{quoted[name]}"').fetchone()[0] for name in names}


def fault_in(db: sqlite3.Connection, wanted: dict[str, int]) -> str:
    """What is wrong with a copy; "" when it is undamaged and each table has as many rows as `wanted` says.

    Indexes that are wrong are made again first. Raises sqlite3.Error.
    """
    found = [row[0] for row in db.execute("PRAGMA integrity_check")]
    if found != ["ok"]:
        rebuild_indexes(db)
        found = [row[0] for row in db.execute("PRAGMA integrity_check")]
    if found != ["ok"]:
        return str(found[0]).splitlines()[-1]
    held = counts(db)
    short = next((name for name in wanted if held.get(name) != wanted[name]), None)
    return "" if short is None else f"of {wanted[short]} rows of {short} it holds {held.get(short, 0)}"


def pack(folder: Path, copy: Path, packed: Path) -> Packed:
    """Put the copy and all other files of the data folder into a zip that only this user can read.

    Raises Refused when a file cannot be read back, OSError when the zip cannot be written.
    """
    taken, left_out = files_in(folder)
    with closing(sqlite3.connect(copy)) as db:
        contents = Contents(counts(db), len(taken))
        missing = {*photos_in_log(db)} - {*photo_names(folder)}
    handle = os.open(packed, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w+b") as file, zipfile.ZipFile(file, "w") as archive:
        archive.write(copy, FILE_NAME, zipfile.ZIP_DEFLATED)
        archive.writestr(CONTENTS_NAME, msgspec.json.encode(contents))
        for one in taken:
            archive.write(one, one.relative_to(folder).as_posix())
    sync_to_disk(packed)
    spoiled = first_spoiled(packed)
    if spoiled is not None:
        raise Refused(f"{spoiled} cannot be read back from the backup.", "Check the disk, then back up again.")
    return Packed(1 + len(taken), left_out, len(missing))


def files_in(folder: Path) -> tuple[list[Path], tuple[str, ...]]:
    """The data folder's files without SQLite's own, and the paths of what is left out: links, and other backups."""
    taken: list[Path] = []
    left_out: list[Path] = []
    for place, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        left_out += [Path(place, name) for name in folders if Path(place, name).is_symlink()]
        for one in (Path(place, name) for name in sorted(names) if not name.startswith(".")):
            if one.parent == folder and one.name in SQLITE_FILES:
                continue
            plain = one.is_file() and not one.is_symlink() and not (one.suffix == ".zip" and is_backup(one))
            (taken if plain else left_out).append(one)
    return taken, tuple(one.relative_to(folder).as_posix() for one in left_out)


def first_spoiled(packed: Path) -> str | None:
    """The first member that cannot be read back from the disk itself, not from memory; None when all can."""
    with packed.open("rb") as file, suppress(OSError):
        os.posix_fadvise(file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)
    with zipfile.ZipFile(packed) as archive:
        return archive.testzip()

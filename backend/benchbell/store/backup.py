"""A verified copy of everything, taken while the shop works; and the way back.

A backup is one zip: the database, the photos, the certificate's keys. The copy of the database opens a new
book, so that phones notice a restore and send again what the backup lacks.
"""

import os
import sqlite3
import tempfile
import zipfile
from contextlib import closing
from pathlib import Path, PurePosixPath

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.store.connection import connect
from benchbell.store.database import FILE_NAME
from benchbell.store.errors import in_words

OWN = (FILE_NAME, f"{FILE_NAME}-wal", f"{FILE_NAME}-shm")
"""What SQLite keeps beside each other; copied through SQLite only."""


NEW_BOOK = "UPDATE book SET id = lower(hex(randomblob(8)))"
"""In the copy, for one who unpacks it by hand; and at each restore, for the same backup may be restored twice."""


class Backup(Struct, frozen=True):
    """What a backup holds."""

    file: str
    happenings: int
    files: int
    bytes: int


def back_up(folder: Path, target: Path) -> Backup:
    """Write and verify a backup of the data folder. Nothing appears under `target` before it is whole.

    Raises Refused when the target is there already, and when anything about the copy is not as it should be.
    """
    if target.exists():
        raise Refused(f"{target} is there already.", "Choose another name; a backup never overwrites one.")
    try:
        with tempfile.TemporaryDirectory(dir=target.absolute().parent, prefix=".benchbell-") as place:
            copy = Path(place, FILE_NAME)
            happenings = copy_database(folder / FILE_NAME, copy)
            packed = Path(place, "backup.zip")
            files = pack(folder, copy, packed)
            packed.replace(target)
    except OSError as error:
        raise Refused(
            f"{target} cannot be written ({error.strerror}).", "Choose another place, or make room."
        ) from error
    return Backup(str(target), happenings, files, target.stat().st_size)


def copy_database(source: Path, copy: Path) -> int:
    """Copy the records as of one moment, check the copy, open a new book in it; gives how many happenings.

    Raises StoreError from either file, Refused when the copy lacks anything.
    """
    if not source.exists():
        raise Refused(f"There are no records in {source.parent}.", "Choose the data folder with --data.")
    with closing(connect(source)) as db, closing(sqlite3.connect(copy, isolation_level=None)) as to:
        try:
            db.execute("BEGIN")
            wanted = counts(db)
            db.backup(to)
            db.execute("ROLLBACK")
            to.execute("PRAGMA journal_mode = DELETE")
            to.execute(NEW_BOOK)
            verify(to, wanted)
        except sqlite3.Error as error:
            raise in_words(error, source) from error
    return wanted["happening"]


def counts(db: sqlite3.Connection) -> dict[str, int]:
    """How many rows each table holds."""
    names = [row[0] for row in db.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")]
    return {name: db.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0] for name in names}


def verify(db: sqlite3.Connection, wanted: dict[str, int]) -> None:
    """Raises Refused unless the copy is sound and as full as its original."""
    found = [row[0] for row in db.execute("PRAGMA integrity_check")]
    if found != ["ok"]:
        raise Refused(f"The copy is damaged ({found[0]}).", "Check the disk, then back up again.")
    if counts(db) != wanted:
        raise Refused(f"The copy holds {counts(db)}, the records {wanted}.", "Back up again.")


def pack(folder: Path, copy: Path, packed: Path) -> int:
    """Put the copy and all other files of the data folder into one zip, readable by this user only; gives how many."""
    others = [p for p in sorted(folder.rglob("*")) if p.is_file() and p.name not in OWN and not p.name.startswith(".")]
    with zipfile.ZipFile(packed, "w") as archive:
        packed.chmod(0o600)
        archive.write(copy, FILE_NAME, zipfile.ZIP_DEFLATED)
        for file in others:
            archive.write(file, file.relative_to(folder).as_posix())
    with zipfile.ZipFile(packed) as archive:
        spoiled = archive.testzip()
    if spoiled is not None:
        raise Refused(f"{spoiled} cannot be read back from the backup.", "Check the disk, then back up again.")
    sync_to_disk(packed)
    return 1 + len(others)


def sync_to_disk(file: Path) -> None:
    """Wait until the file is on the disk itself."""
    handle = os.open(file, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def stays_inside(name: str) -> bool:
    """Whether a file of this name lands inside the folder it is unpacked into."""
    path = PurePosixPath(name)
    return not path.is_absolute() and ".." not in path.parts


def restore(backup: Path, folder: Path) -> Backup:
    """Put a backup into an empty data folder, and check it. Raises Refused."""
    if (folder / FILE_NAME).exists():
        raise Refused(
            f"{folder} holds records already.",
            "Move that folder away, do not delete it, or choose another with --data.",
        )
    try:
        with zipfile.ZipFile(backup) as archive:
            names = archive.namelist()
            if FILE_NAME not in names or not all(map(stays_inside, names)) or archive.testzip() is not None:
                raise zipfile.BadZipFile
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            archive.extractall(folder)
    except (OSError, zipfile.BadZipFile) as error:
        raise Refused(f"{backup} is not a whole backup of Benchbell.", "Try the backup before it.") from error
    for file in folder.rglob("*"):
        file.chmod(0o700 if file.is_dir() else 0o600)
    with closing(connect(folder / FILE_NAME)) as db:
        wanted = counts(db)
        verify(db, wanted)
        db.execute(NEW_BOOK)
    return Backup(str(backup), wanted["happening"], len(names), backup.stat().st_size)

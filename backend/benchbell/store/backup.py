"""A verified copy of the data folder, taken while the server runs, and restoring it.

A backup is one zip: the database, the photos, the keys. The copy of the database begins a new log epoch, so phones
notice a restore and send again what the backup lacks.
"""

import sqlite3
import tempfile
import zipfile
from contextlib import closing
from pathlib import Path, PurePosixPath

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.store.connection import connect
from benchbell.store.database import FILE_NAME, migrate, rebuild_indexes
from benchbell.store.errors import in_words
from benchbell.store.photos import is_whole, photo_files
from benchbell.store.record_types import DamagedEntry
from benchbell.store.scrub import damaged_entries
from benchbell.store.tables import VERSIONS
from benchbell.store.whole_file import sync_to_disk

OWN = (FILE_NAME, f"{FILE_NAME}-wal", f"{FILE_NAME}-shm")
"""SQLite's own files; they are copied through SQLite only."""

NEW_EPOCH = "UPDATE log_epoch SET id = lower(hex(randomblob(8)))"
"""Done in the copy, in case somebody unpacks it by hand, and at each restore, since a backup may be restored twice."""


class Backup(Struct, frozen=True):
    """What a backup holds. damaged: how many entries and photos in it are not as they were stored."""

    file: str
    happenings: int
    files: int
    bytes: int
    damaged: int = 0


def back_up(folder: Path, target: Path, with_damage: bool = False) -> Backup:
    """Write and verify a backup of the data folder. Nothing appears under `target` before it is complete.

    with_damage: back up what is there although some of it is damaged.

    Raises Refused when the target exists, there are no records, or the copy is damaged or incomplete; StoreError when
    the records cannot be read.
    """
    if target.exists():
        raise Refused(f"{target} is there already.", "Choose another name; a backup never overwrites one.")
    try:
        with tempfile.TemporaryDirectory(dir=target.absolute().parent, prefix=".benchbell-") as place:
            copy = Path(place, FILE_NAME)
            happenings = copy_database(folder / FILE_NAME, copy)
            damaged = damage_in(copy, folder)
            if damaged.count and not with_damage:
                raise Refused(f"{damaged.words} damaged, so this would be no whole copy.", WITH_DAMAGE)
            packed = Path(place, "backup.zip")
            files = pack(folder, copy, packed)
            packed.replace(target)
    except OSError as error:
        raise Refused(
            f"{target} cannot be written ({error.strerror}).", "Choose another place, or make room."
        ) from error
    return Backup(str(target), happenings, files, target.stat().st_size, damaged.count)


WITH_DAMAGE = (
    "Open the page on every paired phone: one that has it sends it again. "
    "To copy what is there all the same, add --with-damage."
)


class Damage(Struct, frozen=True):
    """What of some records is not as it was stored: entries, with the builds they are of, and photos by name."""

    entries: tuple[DamagedEntry, ...]
    photos: tuple[str, ...]

    @property
    def count(self) -> int:
        """How much it is."""
        return len(self.entries) + len(self.photos)

    @property
    def words(self) -> str:
        """The same for a person, up to "is" or "are"."""
        named = (("entry", "entries", len(self.entries)), ("photo", "photos", len(self.photos)))
        said = " and ".join(f"{n} {one if n == 1 else many}" for one, many, n in named if n)
        return f"{said} {'is' if self.count == 1 else 'are'}"


def damage_in(database: Path, folder: Path) -> Damage:
    """The damage in a database with the newest tables, and in the photos of a folder."""
    with closing(connect(database)) as db:
        entries = tuple(damaged_entries(db))
    return Damage(entries, tuple(file.name for file in photo_files(folder) if not is_whole(file)))


def copy_database(source: Path, copy: Path) -> int:
    """Copy the records as of one moment, check the copy and begin a new epoch in it; gives how many happenings.

    A copy of older tables is brought up to date; the original is not touched. Raises StoreError when a file cannot be
    read or written, Refused when there are no records or the copy lacks anything.
    """
    if not source.exists():
        raise Refused(f"There are no records in {source.parent}.", "Choose the data folder with --data.")
    with closing(connect(source)) as db, closing(connect(copy)) as to:
        try:
            db.execute("BEGIN")
            wanted = counts(db)
            db.backup(to)
            db.execute("ROLLBACK")
            to.execute("PRAGMA journal_mode = DELETE")
            verify(to, wanted)
            migrate(to, copy, VERSIONS)
            to.execute(NEW_EPOCH)
        except sqlite3.Error as error:
            raise in_words(error, source) from error
    return wanted["happening"]


def counts(db: sqlite3.Connection) -> dict[str, int]:
    """How many rows each table holds."""
    names = [row[0] for row in db.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")]
    return {name: db.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0] for name in names}


def verify(db: sqlite3.Connection, wanted: dict[str, int]) -> None:
    """Raises Refused unless the copy is undamaged and each table has as many rows as `wanted` says."""
    found = [row[0] for row in db.execute("PRAGMA integrity_check")]
    if found != ["ok"]:
        rebuild_indexes(db)
        found = [row[0] for row in db.execute("PRAGMA integrity_check")]
    if found != ["ok"]:
        raise Refused(f"The copy is damaged ({found[0]}).", "Check the disk, then back up again.")
    if counts(db) != wanted:
        raise Refused(f"The copy holds {counts(db)}, the records {wanted}.", "Back up again.")


def pack(folder: Path, copy: Path, packed: Path) -> int:
    """Put the copy and all other files of the data folder into a zip that only this user can read; gives how many.

    Raises Refused when a file cannot be read back, OSError when the zip cannot be written.
    """
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


def stays_inside(name: str) -> bool:
    """Whether a file of this name lands inside the folder it is unpacked into."""
    path = PurePosixPath(name)
    return not path.is_absolute() and ".." not in path.parts


def restore(backup: Path, folder: Path) -> Backup:
    """Put a backup into a data folder without records, check it and begin a new epoch in it.

    Raises Refused when the folder has records, the zip is not a whole backup, or its records are damaged.
    """
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
        migrate(db, folder / FILE_NAME, VERSIONS)
        db.execute(NEW_EPOCH)
    damaged = damage_in(folder / FILE_NAME, folder)
    return Backup(str(backup), wanted["happening"], len(names), backup.stat().st_size, damaged.count)

"""The shop's records in one SQLite file: opening it, bringing its tables up to date, reading and writing."""

import asyncio
import sqlite3
from contextlib import closing, suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeVar

from benchbell.store.connection import ThreadedConnection, Work, connect
from benchbell.store.errors import RESTORE, Damaged, StoreError, disk_error, in_words
from benchbell.store.group_commit import GroupCommit
from benchbell.store.tables import APPLICATION, VERSIONS
from benchbell.store.whole_file import make_folder, sync_to_disk

T = TypeVar("T")

FILE_NAME = "benchbell.db"
"""The database inside the data folder."""

MENDED = f".mended-{FILE_NAME}"
"""Records that take the place of damaged ones (store/mending.py)."""

LEFT_BEHIND = (f"{FILE_NAME}-wal", "push.key", "photos/??/*")
"""Patterns of files that only come after the records: without these, they were lost."""


class Database:
    """The open records: one connection writes and one reads, each on a thread of its own."""

    def __init__(self, file: Path, reader: ThreadedConnection, writer: ThreadedConnection) -> None:
        self.file = file
        self.reader = reader
        self.writer = writer
        self.commits = GroupCommit(writer, file)

    async def read(self, work: Work[T]) -> T:
        """What `work` reads, as of the last commit. Raises StoreError, and whatever `work` raises."""
        try:
            return await self.reader.run(work)
        except sqlite3.Error as error:
            raise in_words(error, self.file) from error

    async def write(self, work: Work[T]) -> T:
        """What `work` returns, once all that it wrote is on disk. Raises StoreError, and whatever `work` raises."""
        return await self.commits.write(work)

    async def close(self) -> None:
        """Finish what waits to be written and close the file."""
        await self.commits.finish()
        await self.reader.close()
        await self.writer.close()


async def open_database(folder: Path) -> Database:
    """The records in this data folder, created if there are none. Raises StoreError."""
    file = await asyncio.to_thread(prepare, folder)
    reader = await ThreadedConnection.open(file)
    try:
        await reader.run(lambda db: db.execute("PRAGMA query_only = ON"))
        writer = await ThreadedConnection.open(file)
    except BaseException:
        await reader.close()
        raise
    return Database(file, reader, writer)


def prepare(folder: Path, versions: tuple[str, ...] = VERSIONS) -> Path:
    """Create the folder and file where there are none, check the file and bring its tables up to date.

    Gives the file. Raises StoreError.
    """
    make_data_folder(folder)
    file = folder / FILE_NAME
    check_not_lost(file)
    if not file.exists():
        create(file, versions)
    bring_up_to_date(file, versions)
    return file


def make_data_folder(folder: Path) -> None:
    """Create the data folder where there is none. Raises StoreError."""
    try:
        make_folder(folder)
    except OSError as error:
        raise StoreError(
            f"The data folder {folder} cannot be made ({error.strerror}).", "Choose another with --data."
        ) from error


def check_not_lost(file: Path) -> None:
    """Raises Damaged for records of no bytes, and for a folder that holds what only a shop with records has.

    `create` gives the file its name only when its tables are in it, so an empty one has lost what it held. A new file
    in its place would pass for a new shop, and every backup of it for a good one.
    """
    if not file.exists():
        if (file.parent / MENDED).exists():
            raise Damaged(f"{file} was being put right.", "Start the server: it finishes that.")
        left = next((name for name in LEFT_BEHIND if any(file.parent.glob(name))), None)
        if left is not None:
            raise Damaged(f"{file} is gone, but {left.split('/')[0]} is there.", RESTORE)
    elif file.stat().st_size == 0:
        raise Damaged(f"{file} is damaged (it is empty).", RESTORE)


def create(file: Path, versions: tuple[str, ...]) -> None:
    """Create the file under its name only when it is whole and on the disk. Raises StoreError."""
    try:
        with TemporaryDirectory(dir=file.parent, prefix=".new-") as place:
            new = Path(place, FILE_NAME)
            bring_up_to_date(new, versions)
            sync_to_disk(new)
            if not file.exists():  # another command may have been first
                new.rename(file)
        sync_to_disk(file.parent)
    except OSError as error:
        raise disk_error(error, file) from error


def bring_up_to_date(file: Path, versions: tuple[str, ...]) -> None:
    """Check the file, bring its tables up to the last version, and let only this user read it. Raises StoreError."""
    db = connect(file)
    try:
        check_file(db, file)
        migrate(db, file, versions)
    except sqlite3.Error as error:
        raise in_words(error, file) from error
    finally:
        db.close()
    with suppress(OSError):
        file.chmod(0o600)


def check_file(db: sqlite3.Connection, file: Path) -> None:
    """Raises Damaged when SQLite's quick check finds a fault."""
    found = [row[0] for row in db.execute("PRAGMA quick_check(3)")]
    if found != ["ok"]:
        raise Damaged(f"{file} is damaged ({found[0].splitlines()[-1]}).", RESTORE)


def faults_in(file: Path) -> str:
    """What SQLite's full check finds wrong, on a connection of its own; "" where all is well. Takes long."""
    try:
        with closing(connect(file)) as db:
            found = [str(row[0]) for row in db.execute("PRAGMA integrity_check(3)")]
    except (sqlite3.Error, StoreError) as error:
        return str(error)
    return "" if found == ["ok"] else found[0].splitlines()[-1]


def rebuild_indexes(db: sqlite3.Connection) -> None:
    """Make all indexes again from their tables: they hold nothing else."""
    db.execute("REINDEX")


def migrate(db: sqlite3.Connection, file: Path, versions: tuple[str, ...]) -> None:
    """Bring the tables up to the last version, each version in a transaction of its own.

    Raises StoreError when the file is another program's, or a newer Benchbell's; sqlite3.Error when a version fails.
    """
    version, application = (db.execute(f"PRAGMA {name}").fetchone()[0] for name in ("user_version", "application_id"))
    if version > len(versions):
        raise StoreError(
            f"{file} was written by a newer Benchbell (tables {version}; this one knows {len(versions)}).",
            "Update Benchbell on this machine, or choose another folder with --data.",
        )
    if application != APPLICATION and db.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
        raise StoreError(f"{file} is not Benchbell's.", "Choose another folder with --data.")
    for number, statements in enumerate(versions[version:], start=version + 1):
        upgrade(db, f"{statements}; PRAGMA application_id = {APPLICATION}; PRAGMA user_version = {number};")


def upgrade(db: sqlite3.Connection, statements: str) -> None:
    """Run the statements of one version in a transaction. Raises sqlite3.Error, after undoing what they did."""
    try:
        db.executescript(f"BEGIN IMMEDIATE; {statements} COMMIT;")
    except sqlite3.Error:
        if db.in_transaction:
            db.execute("ROLLBACK")
        raise

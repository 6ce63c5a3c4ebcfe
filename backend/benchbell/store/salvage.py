"""Saving what can still be read of damaged records.

Each table is read by itself, never through an index, and its rows are put into new tables. Indexes are made again on
the way, and so are label codes. A happening that was lost shows as a gap in its device's numbers.
"""

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.store.backup import files_in
from benchbell.store.backup_zip import sync_folders
from benchbell.store.connection import connect
from benchbell.store.database import FILE_NAME, bring_up_to_date, check_not_lost
from benchbell.store.errors import Damaged, disk_error, in_words
from benchbell.store.label_codes import KINDS_WITH_CODES, keep_codes
from benchbell.store.log_epoch import NEW_EPOCH
from benchbell.store.tables import VERSIONS
from benchbell.store.whole_file import make_folder, sync_to_disk
from benchbell.store.workplace import workplace_in

LOG = "happening"

DISPENSABLE: dict[str, str] = {
    "label_code": "",
    "finished_cache": "",
    "pairing_code": "Pairing codes that were not used yet are gone.",
    "delivered": "A ring that was sent before may come a second time.",
    "calendar_entry": "",
    "clock_reading": "The server goes by this machine's time of day until it is known to be set.",
}
"""Tables that a server can do without, and what a person may notice; "" where nothing is lost by it."""

AT_ONCE = 200
"""Positions read together. Where these fail, each is read by itself."""

MISSING = """
SELECT coalesce(sum(highest - held), 0) FROM (
    SELECT max(n) AS highest, count(*) AS held FROM (
        SELECT device, n FROM happening UNION SELECT device, n FROM early_happening
    ) GROUP BY device
)
"""


class Salvaged(Struct, frozen=True):
    """What was saved.

    happenings: in the log. missing: at least so many of it are gone. unread: tables of which something was unreadable.
    """

    happenings: int
    missing: int
    unread: tuple[str, ...]

    @property
    def is_whole(self) -> bool:
        """Whether nothing is gone that a server needs."""
        return not self.missing and set(self.unread) <= set(DISPENSABLE)


def salvage(folder: Path, target: Path) -> Salvaged:
    """Save what can be read of the records in `folder` into a new data folder; the damaged ones are left as they are.

    A new epoch begins in it, so phones send again what it lacks. Raises Refused when the target is there, or nothing
    can be read; StoreError when the disk fails.
    """
    if target.exists():
        raise Refused(f"{target} is there already.", "Name a new folder.")
    try:
        with workplace_in(target.absolute().parent) as place:
            new = place / "data"
            new.mkdir(mode=0o700)
            saved = save_into(folder / FILE_NAME, new / FILE_NAME)
            with closing(connect(new / FILE_NAME)) as db:
                db.execute(NEW_EPOCH)
            copy_files(folder, new)
            sync_to_disk(new / FILE_NAME)
            sync_folders(new)
            new.rename(target)
        sync_to_disk(target.absolute().parent)
    except OSError as error:
        raise disk_error(error, target.absolute().parent) from error
    return saved


def copy_files(folder: Path, new: Path) -> None:
    """Copy the photos, keys and other files of a data folder, for this user alone. Raises OSError."""
    for one in files_in(folder)[0]:
        place = new / one.relative_to(folder)
        make_folder(place.parent)
        shutil.copyfile(one, place)
        place.chmod(0o600)
        sync_to_disk(place)


def save_into(file: Path, new: Path) -> Salvaged:
    """Make new records with all rows of `file` that can be read. Raises Damaged when not even the tables' names can."""
    check_not_lost(file)
    if not file.exists():
        raise Refused(f"There are no records in {file.parent}.", "Choose the data folder with --data.")
    try:
        with closing(connect(file)) as old:
            version = int(old.execute("PRAGMA user_version").fetchone()[0])
            tables = [row[0] for row in old.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")]
            if LOG not in tables or not 1 <= version <= len(VERSIONS):
                raise Damaged(f"Nothing can be read of {file}.", "Restore the last backup.")
            bring_up_to_date(new, VERSIONS[:version])
            with closing(connect(new)) as db:
                unread = tuple(name for name in tables if not name.startswith("sqlite_") and not copy(old, db, name))
        bring_up_to_date(new, VERSIONS)
        with closing(connect(new)) as db:
            bodies = db.execute(f"SELECT kind, body FROM {LOG}")
            keep_codes(db, [body for kind, body in bodies if kind in KINDS_WITH_CODES])
            db.execute("PRAGMA journal_mode = DELETE")
            happenings = int(db.execute(f"SELECT count(*) FROM {LOG}").fetchone()[0])
            missing = int(db.execute(MISSING).fetchone()[0])
            return Salvaged(happenings, missing, unread)
    except sqlite3.Error as error:
        raise in_words(error, file) from error


def copy(old: sqlite3.Connection, new: sqlite3.Connection, table: str) -> bool:
    """Copy the rows of a table that can be read; whether that was all of them. Raises sqlite3.Error of the new one."""
    columns = [row[1] for row in new.execute(f'PRAGMA table_info("{table}")')]
    named = ", ".join(f'"{name}"' for name in columns)
    select = f'SELECT {named} FROM "{table}" NOT INDEXED'
    insert = f'INSERT OR IGNORE INTO "{table}" ({named}) VALUES ({", ".join("?" * len(columns))})'
    new.execute("BEGIN")
    new.execute(f'DELETE FROM "{table}"')  # new tables begin with an epoch of their own
    is_whole = True
    for rows in log_rows(old, select) if table == LOG else all_rows(old, select):
        is_whole &= rows is not None and sum(put(new, insert, row) for row in rows) == len(rows)
    new.execute("COMMIT")
    return is_whole


def put(db: sqlite3.Connection, insert: str, row: tuple[Any, ...]) -> int:
    """Insert a row unless it cannot be one of this table's; 1 when it was inserted."""
    try:
        return db.execute(insert, row).rowcount
    except sqlite3.IntegrityError:
        return 0


Rows = list[tuple[Any, ...]]


def all_rows(db: sqlite3.Connection, select: str) -> Iterator[Rows | None]:
    """The rows of a table, some at a time, up to the first that cannot be read; None stands for what is left out."""
    try:
        cursor = db.execute(select)
        while rows := cursor.fetchmany(AT_ONCE):
            yield rows
    except sqlite3.DatabaseError:
        yield None


def log_rows(db: sqlite3.Connection, select: str) -> Iterator[Rows | None]:
    """The same for the log, in which what lies beyond a damaged place is found by its position."""
    last = last_position(db)
    for first in range(1, last + 1, AT_ONCE):
        rows = between(db, select, first, min(last, first + AT_ONCE - 1))
        if rows is not None:
            yield rows
            continue
        for position in range(first, min(last, first + AT_ONCE - 1) + 1):
            yield between(db, select, position, position)


def between(db: sqlite3.Connection, select: str, first: int, last: int) -> Rows | None:
    """The log's rows from one position to another; None where they cannot be read."""
    try:
        return db.execute(f"{select} WHERE position BETWEEN ? AND ?", (first, last)).fetchall()
    except sqlite3.DatabaseError:
        return None


def last_position(db: sqlite3.Connection) -> int:
    """The highest position that the log ever gave out, by whichever of two places can be read; 0 where none can."""
    highest = 0
    for query in (f"SELECT max(position) FROM {LOG}", f"SELECT seq FROM sqlite_sequence WHERE name = '{LOG}'"):
        with suppress(sqlite3.DatabaseError, TypeError):
            highest = max(highest, db.execute(query).fetchone()[0] or 0)
    return highest

"""What can go wrong with the file, each told with what to do."""

import sqlite3
from pathlib import Path

from benchbell.findings import Refused


class StoreError(Refused):
    """The records cannot be read or written just now. Nothing that was answered is lost."""


class DiskFull(StoreError):
    """There is no room left to write."""


class Damaged(StoreError):
    """The file is not what was written."""


def in_words(error: sqlite3.Error, file: Path) -> StoreError:
    """SQLite's result code as a sentence. Codes: sqlite.org/rescode.html."""
    code = getattr(error, "sqlite_errorname", "") or ""
    if code == "SQLITE_FULL" or code.startswith("SQLITE_IOERR_WRITE"):
        return DiskFull(
            f"The disk with {file} is full.", "Make room, then try again; what waits on the phones stays there."
        )
    if code.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
        return Damaged(f"{file} is damaged ({error}).", RESTORE)
    if code.startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM", "SQLITE_AUTH")):
        return StoreError(
            f"{file} cannot be written ({error}).",
            f"Give this user the right to write in {file.parent}, or choose --data.",
        )
    if code.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return StoreError(
            f"Another program is writing to {file}.", "Wait until it is done, or stop it, then try again."
        )
    return StoreError(f"{file} could not be used ({code or 'SQLite'}: {error}).", "Look at the disk, then try again.")


RESTORE = (
    "Put the file aside, do not delete it, and restore the last backup with: benchbell restore BACKUP; "
    "the phones then send again what the backup lacks."
)

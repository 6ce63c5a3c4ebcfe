"""Why the records refuse or fail, each with what to do about it."""

import errno
import sqlite3
from pathlib import Path

from benchbell.findings import Refused


class StoreError(Refused):
    """The records cannot be read or written at the moment. Nothing that was answered is lost."""


class DiskFull(StoreError):
    """There is no room left to write."""


class Damaged(StoreError):
    """The file does not hold what was written to it."""


class DamagedPhoto(Damaged):
    """A photo's file does not hold what its name says."""


class Misnumbered(Refused):
    """A batch does not continue the device's numbers. taken_to: the highest number of this device on disk."""

    def __init__(self, what: str, next_step: str, taken_to: int) -> None:
        super().__init__(what, next_step)
        self.taken_to = taken_to


class Gap(Misnumbered):
    """Numbers are missing before this batch."""


class TwoPhonesOneName(Misnumbered):
    """One number, or one id, stands for two happenings: the phone was restored, or copied."""


class BuildExists(Refused):
    """The id belongs to another build."""


class TooLarge(Refused):
    """More bytes than one request may carry."""


NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
"""The disk is full; the user's share of it is used up; no file may grow further."""

MAKE_ROOM = "Make room, then try again; what waits on the phones stays there."


def disk_full(where: Path) -> DiskFull:
    """The refusal of what finds no room on the disk with this file or folder."""
    return DiskFull(f"The disk with {where} is full.", MAKE_ROOM)


def disk_error(error: OSError, where: Path) -> StoreError:
    """Why a file in the folder `where` could not be written, as a sentence."""
    if error.errno in NO_ROOM:
        return disk_full(where)
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return StoreError(f"{where} cannot be written ({error.strerror}).", right_to_write(where))
    return StoreError(f"{where} cannot be written ({error.strerror}).", "Look at the disk, then try again.")


def right_to_write(folder: Path) -> str:
    """The next step where a file cannot be written for want of a right."""
    return f"Give this user the right to write in {folder}, or choose --data."


def in_words(error: sqlite3.Error, file: Path) -> StoreError:
    """SQLite's result code as a sentence. Codes: sqlite.org/rescode.html."""
    code = getattr(error, "sqlite_errorname", "") or ""
    if code == "SQLITE_FULL" or code.startswith(("SQLITE_IOERR_WRITE", "SQLITE_IOERR_SHM")):
        return disk_full(file)
    if code.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
        return Damaged(f"{file} is damaged ({error}).", RESTORE)
    if code.startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM", "SQLITE_AUTH")):
        return StoreError(f"{file} cannot be written ({error}).", right_to_write(file.parent))
    if code.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return StoreError(
            f"Another program holds {file}.",
            "Wait until it is done, then try again. A server started on a full disk holds it until its next start.",
        )
    return StoreError(f"{file} could not be used ({code or 'SQLite'}: {error}).", "Look at the disk, then try again.")


RESTORE = (
    "Move the data folder away, do not delete it, and restore the last backup with: benchbell restore BACKUP; "
    "the phones then send again what the backup lacks. Without a backup, save what can be read with: "
    "benchbell salvage NEW-FOLDER."
)

SENT_AGAIN = (
    "Open the page on every paired phone: one that has the entry sends it again. If it stays damaged, "
    "restore the last backup."
)

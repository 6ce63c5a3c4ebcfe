"""Whether the records' file still stands under its name while the server has it open.

SQLite goes on writing into a file that was deleted, moved or replaced, and all of that is gone at the next start.
"""

from pathlib import Path

from benchbell.store.errors import StoreError


class SameFile:
    """The database as it was opened, and its write-ahead log as it was first seen."""

    def __init__(self, file: Path) -> None:
        self.file = file
        self.seen = {file: identity(file)}

    def check(self) -> None:
        """Raises StoreError when one of the two is not the file it was."""
        log = self.file.with_name(f"{self.file.name}-wal")
        if log not in self.seen and (now := identity(log)) is not None:
            self.seen[log] = now
        for file, then in self.seen.items():
            if identity(file) != then:
                raise StoreError(
                    f"{file} was deleted, moved or replaced while the server runs.",
                    "Stop the server, put the file back or restore the last backup, and start it again.",
                )


def identity(file: Path) -> tuple[int, int] | None:
    """Device and inode of a file; None where there is none."""
    try:
        found = file.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino

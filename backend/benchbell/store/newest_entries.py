"""The newest entries of the log in memory, because every phone that sends asks at once for what the others just sent.

They are what this connection appended last, so reading them again from the file would tell nothing new. Whether they
are still the end of the log is asked of SQLite each time; where anything else was written, or undone, they are not
used, and the file is read.
"""

import sqlite3
from collections import deque
from collections.abc import Iterable
from itertools import islice
from typing import Any

MOST_ENTRIES = 2000
"""How many are kept; those over it go, the oldest first."""

MOST_BYTES = 2_000_000
"""How many bytes they have together at most."""

NewEntry = tuple[str, int, bytes]
"""device, n, body."""

State = tuple[int, int]
"""What SQLite counts of other connections' changes and of this connection's."""


class NewestEntries:
    """The entries, by position without a gap. last: the position of the newest one, 0 without any."""

    def __init__(self) -> None:
        self.entries: deque[NewEntry] = deque()
        self.bytes = 0
        self.last = 0
        self.state: State = (-1, -1)

    def append(self, db: sqlite3.Connection, before: State, last: int, new: Iterable[NewEntry]) -> None:
        """Remember what was just appended. before: `state_of` before that. last: the position of the last of `new`."""
        new = list(new)
        if before != self.state or last != self.last + len(new):
            self.entries.clear()
            self.bytes = 0
        self.entries.extend(new)
        self.bytes += sum(len(body) for _, _, body in new)
        while len(self.entries) > MOST_ENTRIES or self.bytes > MOST_BYTES:
            self.bytes -= len(self.entries.popleft()[2])
        self.last = last
        self.state = state_of(db)

    def after(self, db: sqlite3.Connection, position: int, newest: int) -> list[NewEntry] | None:
        """All entries after `position`, where they are certain to be the end of the log; None where the file must tell.

        newest: the last position in the file.
        """
        many = newest - position
        if newest != self.last or not 0 <= many <= len(self.entries) or state_of(db) != self.state:
            return None
        return [*islice(self.entries, len(self.entries) - many, None)]


class LogConnection(sqlite3.Connection):
    """A connection that remembers the newest entries which it appended itself."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.newest = NewestEntries()


def state_of(db: sqlite3.Connection) -> State:
    """What changes with everything that is written to the file, by this connection or another."""
    return db.execute("PRAGMA data_version").fetchone()[0], db.total_changes

"""A connection to the records' file, and the thread that runs its work."""

import sqlite3
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Self, TypeVar, cast

import aiosqlite

from benchbell.store.checksum import checksum_if_readable
from benchbell.store.errors import in_words
from benchbell.store.newest_entries import LogConnection

T = TypeVar("T")
Work = Callable[[sqlite3.Connection], T]
"""A function that runs on the connection's thread."""

WAIT_SECONDS = 10
"""How long to wait while another program, such as `benchbell devices`, writes."""

PRAGMAS = """
    PRAGMA foreign_keys = ON;
    PRAGMA journal_mode = WAL;
    PRAGMA synchronous = FULL;
    PRAGMA journal_size_limit = 67108864;
    PRAGMA temp_store = MEMORY;
    PRAGMA trusted_schema = OFF;
"""
"""temp_store: a large answer must not need room on a disk."""


def connect(file: Path) -> sqlite3.Connection:
    """A connection with these pragmas; its transactions are begun by hand. Raises StoreError.

    A text that is no UTF-8 any more is read all the same, so that one damaged cell does not make a whole query fail.

    On a disk without room for the write-ahead log's index, the index is kept in this process's memory (SQLite's VFS
    unix-excl). Then no other process can use the file until this one has closed it.
    """
    try:
        return connect_as(file, "")
    except sqlite3.Error as error:
        if not getattr(error, "sqlite_errorname", "").startswith("SQLITE_IOERR_SHM"):
            raise in_words(error, file) from error
    try:
        return connect_as(file, "?vfs=unix-excl")
    except sqlite3.Error as error:
        raise in_words(error, file) from error


def connect_as(file: Path, options: str) -> sqlite3.Connection:
    """A connection; options: the query part of SQLite's URI file name. Raises sqlite3.Error."""
    address = file.absolute().as_uri() + options
    db = sqlite3.connect(
        address,
        uri=True,
        isolation_level=None,
        timeout=WAIT_SECONDS,
        check_same_thread=False,
        factory=LogConnection,
    )
    try:
        db.executescript(PRAGMAS)
        db.create_function("checksum_if_readable", 1, checksum_if_readable, deterministic=True)
    except sqlite3.Error:
        db.close()
        raise
    db.text_factory = text_of
    return db


def text_of(stored: bytes) -> str:
    """A text cell; what is no UTF-8 in it becomes U+FFFD."""
    return stored.decode(errors="replace")


class ThreadedConnection(aiosqlite.Connection):
    """A connection on a thread of its own."""

    def __init__(self, file: Path) -> None:
        super().__init__(partial(connect, file), iter_chunk_size=64)
        self._thread.daemon = True  # a connection that nobody closed must not keep the program from ending

    @classmethod
    async def open(cls, file: Path) -> Self:
        """A connection that is ready for work. Raises StoreError."""
        connection = cls(file)
        await connection
        return connection

    async def run(self, work: Work[T]) -> T:
        """What `work` returns, run on the thread as one piece. Raises whatever `work` raises.

        aiosqlite's public methods hand the thread one statement at a time. A batch has several, and each would
        cost a switch of threads there and back; `_execute` is what those methods themselves call.
        """
        return cast(T, await self._execute(work, self._conn))  # type: ignore[no-untyped-call]

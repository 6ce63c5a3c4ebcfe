"""Several writers share one commit, because waiting for the disk is most of what a commit costs.

Writers that arrive while a group is being written join that group; writers that arrive during its commit form the
next one. Each work runs inside a savepoint of its own, so a refused one does not disturb the others. Nobody gets an
answer before the commit is on disk (WAL with synchronous = FULL; with NORMAL a power cut could lose an answered
happening).
"""

import asyncio
import sqlite3
from collections import deque
from collections.abc import Iterable, Iterator
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

from benchbell.store.connection import ThreadedConnection, Work
from benchbell.store.disk_room import DiskRoom
from benchbell.store.errors import in_words
from benchbell.store.same_file import SameFile

T = TypeVar("T")

Waiting = tuple[Work[Any], asyncio.Future[Any]]
"""A work that is not yet written, and the future that its writer waits for."""

LARGEST_GROUP = 100
"""Most works in one commit, so that a steady stream of new writers does not delay the first ones."""

FILE_ERRORS = (sqlite3.OperationalError, sqlite3.DatabaseError)
"""A disk that is full or fails; a damaged file. Their subclasses concern one work only, such as a broken constraint."""


class GroupCommit:
    """The queue of writers for one connection."""

    def __init__(self, connection: ThreadedConnection, file: Path) -> None:
        self.connection = connection
        self.file = file
        self.same_file = SameFile(file)
        self.room = DiskRoom("entries")
        self.waiting: deque[Waiting] = deque()
        self.writing: asyncio.Task[None] | None = None

    async def write(self, work: Work[T]) -> T:
        """What `work` returns, once all that it wrote is on disk.

        Raises whatever `work` raises, after undoing what it wrote; StoreError when the file or disk fails.
        """
        answer: asyncio.Future[T] = asyncio.get_running_loop().create_future()
        self.waiting.append((work, answer))
        if self.writing is None:
            self.writing = asyncio.create_task(self.write_groups())
        return await answer

    async def write_groups(self) -> None:
        """Write and commit group after group until no writer waits."""
        try:
            while self.waiting:
                group: list[Waiting] = []
                outcomes = await self.write_group(group)
                for (_, answer), outcome in zip(group, outcomes, strict=True):
                    settle(answer, outcome)
        finally:
            self.writing = None

    async def write_group(self, group: list[Waiting]) -> list[Any]:
        """Move waiting works into `group` and commit them; gives an outcome for each of them."""
        try:
            outcomes, has_written = await self.connection.run(partial(self.commit, works=joined(self.waiting, group)))
        except sqlite3.Error as error:
            refused = in_words(error, self.file)
            self.room.note_failed(refused)
            return [refused] * len(group)
        except Exception as error:
            return [error] * len(group)
        if has_written:
            self.room.note_written()
        return outcomes

    def commit(self, db: sqlite3.Connection, works: Iterable[Work[Any]]) -> tuple[list[Any], bool]:
        """Commit the works to the file that still has its name; gives an outcome for each, and whether any wrote.

        Raises StoreError when the file has lost its name, so nobody is told that it was written; sqlite3.Error.
        """
        before = db.total_changes
        outcomes = in_one_transaction(db, works)
        self.same_file.check()
        return outcomes, db.total_changes > before

    async def finish(self) -> None:
        """Wait until no work is left."""
        if self.writing:
            await asyncio.wait([self.writing])


def settle(answer: asyncio.Future[Any], outcome: Any) -> None:
    """Give a writer its result or exception, unless it was cancelled meanwhile."""
    if answer.done():
        return
    if isinstance(outcome, Exception):
        answer.set_exception(outcome)
    else:
        answer.set_result(outcome)


def joined(waiting: deque[Waiting], group: list[Waiting]) -> Iterator[Work[Any]]:
    """The works that wait, also those that arrive during the iteration; each is moved into `group` first."""
    while waiting and len(group) < LARGEST_GROUP:
        group.append(waiting.popleft())
        yield group[-1][0]


def in_one_transaction(db: sqlite3.Connection, works: Iterable[Work[Any]]) -> list[Any]:
    """Run the works in one transaction; gives for each its result, or the exception that undid it alone.

    Raises what concerns the whole transaction, such as an error of the file; then nothing is written.
    """
    db.execute("BEGIN IMMEDIATE")
    try:
        outcomes = [in_savepoint(db, work) for work in works]
        db.execute("COMMIT")
    except BaseException:
        if db.in_transaction:
            db.execute("ROLLBACK")
        raise
    return outcomes


def in_savepoint(db: sqlite3.Connection, work: Work[Any]) -> Any:
    """Run one work; gives its result, or the exception that it raised after what it wrote was undone.

    Raises an error that concerns the file, or that ended the transaction.
    """
    db.execute("SAVEPOINT one")
    try:
        outcome = work(db)
    except Exception as error:
        if not db.in_transaction or type(error) in FILE_ERRORS:
            raise
        db.execute("ROLLBACK TO one")
        outcome = error
    db.execute("RELEASE one")
    return outcome

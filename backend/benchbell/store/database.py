"""The shop's records in one SQLite file: opening it, and whose turn it is to write.

One connection writes and one reads, each on a thread of its own. Writers who come while another writes
share its commit, those who come during a commit share the next one, each inside a savepoint of its own: a
refused one does not disturb its neighbours. Nobody is answered before the commit is on disk (WAL, synchronous
FULL; with NORMAL an answered happening could be lost at a power cut).
"""

import asyncio
import sqlite3
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, suppress
from functools import partial
from pathlib import Path
from typing import Any, TypeVar, cast

from benchbell.store.errors import RESTORE, Damaged, StoreError, in_words
from benchbell.store.tables import APPLICATION, VERSIONS

T = TypeVar("T")
Work = Callable[[sqlite3.Connection], T]

Waiting = tuple[Work[Any], asyncio.Future[Any]]

MOST_TOGETHER = 100
"""So many share a commit: whoever came first is not kept waiting by those who come and come."""

FILE_NAME = "benchbell.db"
"""The database inside the data folder."""

OF_THE_FILE = (sqlite3.OperationalError, sqlite3.DatabaseError)
"""A disk that is full or fails; a damaged file. Their kin tell of one work's own mistake."""

WAIT_SECONDS = 10
"""How long to wait while another program, such as `benchbell devices`, writes."""

PRAGMAS = """
    PRAGMA foreign_keys = ON;
    PRAGMA journal_mode = WAL;
    PRAGMA synchronous = FULL;
    PRAGMA journal_size_limit = 67108864;
    PRAGMA trusted_schema = OFF;
"""


class Hand:
    """A connection and the one thread that uses it."""

    def __init__(self, file: Path) -> None:
        """Opens it. Raises StoreError."""
        self.db = connect(file)
        self.thread = ThreadPoolExecutor(1, "records")

    def run(self, work: Work[T]) -> asyncio.Future[T]:
        """What `work` gives. It is handed to the thread at once, not when somebody awaits it."""
        return asyncio.get_running_loop().run_in_executor(self.thread, work, self.db)

    async def close(self) -> None:
        """Finish what was begun and let the file go."""
        await self.run(sqlite3.Connection.close)
        self.thread.shutdown()


class Database:
    """The open records. `write` and `read` take a function of a plain sqlite3 connection."""

    def __init__(self, file: Path) -> None:
        """Opens both connections. Raises StoreError."""
        self.file = file
        self.writer = Hand(file)
        self.reader = Hand(file)
        self.waiting: deque[Waiting] = deque()
        self.turn: asyncio.Future[list[Any]] | None = None

    async def read(self, work: Work[T]) -> T:
        """What `work` reads, as of the last commit. Raises StoreError."""
        try:
            return await self.reader.run(work)
        except sqlite3.Error as error:
            raise in_words(error, self.file) from error

    async def write(self, work: Work[T]) -> T:
        """What `work` gives, once it is on disk: all that it wrote, or nothing of it. Raises StoreError."""
        answer: asyncio.Future[T] = asyncio.get_running_loop().create_future()
        self.waiting.append((work, answer))
        if self.turn is None:
            self.begin_turn()
        return await answer

    def begin_turn(self) -> None:
        """Have all that waits done and committed."""
        group: list[Waiting] = []
        self.turn = self.writer.run(partial(together, works=taken_from(self.waiting, group)))
        self.turn.add_done_callback(lambda turn: self.end_turn(turn, group))

    def end_turn(self, turn: asyncio.Future[list[Any]], group: list[Waiting]) -> None:
        """Let those of the group know, and go on with who came meanwhile."""
        self.turn = None
        if self.waiting:
            self.begin_turn()
        error = turn.exception()
        told = in_words(error, self.file) if isinstance(error, sqlite3.Error) else error
        for (_, answer), outcome in zip(group, [told] * len(group) if told else turn.result(), strict=True):
            tell(answer, outcome)

    async def close(self) -> None:
        """Finish what was begun and let the file go."""
        while self.turn:
            await asyncio.wait([self.turn])
        await self.reader.close()
        await self.writer.close()


def tell(answer: asyncio.Future[Any], outcome: Any) -> None:
    """Give one waiting writer its outcome, unless it went away meanwhile."""
    if answer.done():
        return
    if isinstance(outcome, Exception):
        answer.set_exception(outcome)
    else:
        answer.set_result(outcome)


def taken_from(waiting: deque[Waiting], group: list[Waiting]) -> Iterator[Work[Any]]:
    """What waits, and what comes while that is being done; each is put into the group first."""
    while waiting and len(group) < MOST_TOGETHER:
        group.append(waiting.popleft())
        yield group[-1][0]


def together(db: sqlite3.Connection, works: Iterable[Work[Any]]) -> list[Any]:
    """Do the works in one transaction; each gives its result, or the exception that undid it alone."""
    db.execute("BEGIN IMMEDIATE")
    try:
        outcomes = [alone(db, work) for work in works]
        db.execute("COMMIT")
    except BaseException:
        if db.in_transaction:
            db.execute("ROLLBACK")
        raise
    return outcomes


def alone(db: sqlite3.Connection, work: Work[Any]) -> Any:
    """Do one work; when it fails, nothing of it stays. Trouble with the file itself is everybody's."""
    db.execute("SAVEPOINT one")
    try:
        outcome = work(db)
    except Exception as error:
        if not db.in_transaction or type(error) in OF_THE_FILE:
            raise
        db.execute("ROLLBACK TO one")
        outcome = error
    db.execute("RELEASE one")
    return outcome


def connect(file: Path) -> sqlite3.Connection:
    """A connection with the house's pragmas, transactions begun by hand. Raises StoreError."""
    try:
        db = sqlite3.connect(file, isolation_level=None, timeout=WAIT_SECONDS, check_same_thread=False)
        db.executescript(PRAGMAS)
    except sqlite3.Error as error:
        raise in_words(error, file) from error
    return db


def open_database(folder: Path) -> Database:
    """The records in this data folder, made if there are none. Raises StoreError."""
    return Database(prepare(folder))


def at_once(folder: Path, work: Work[T]) -> T:
    """Do one work for a command of the program, while the server may be running. Raises StoreError, Refused."""
    file = prepare(folder)
    with closing(connect(file)) as db:
        try:
            (outcome,) = together(db, [work])
        except sqlite3.Error as error:
            raise in_words(error, file) from error
    if isinstance(outcome, Exception):
        raise outcome
    return cast(T, outcome)


def prepare(folder: Path, versions: tuple[str, ...] = VERSIONS) -> Path:
    """Make the folder and the file ready, and look it through for damage. Raises StoreError."""
    file = folder / FILE_NAME
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(
            f"The data folder {folder} cannot be made ({error.strerror}).", "Choose another with --data."
        ) from error
    db = connect(file)
    try:
        look_through(db, file)
        migrate(db, file, versions)
    except sqlite3.Error as error:
        raise in_words(error, file) from error
    finally:
        db.close()
    with suppress(OSError):
        file.chmod(0o600)
    return file


def look_through(db: sqlite3.Connection, file: Path) -> None:
    """Raises Damaged when SQLite's quick check finds anything."""
    found = [row[0] for row in db.execute("PRAGMA quick_check(3)")]
    if found != ["ok"]:
        raise Damaged(f"{file} is damaged ({found[0].splitlines()[-1]}).", RESTORE)


def migrate(db: sqlite3.Connection, file: Path, versions: tuple[str, ...]) -> None:
    """Bring the tables up to the last version, each step whole or not at all."""
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
    """One step of the tables, all of it or nothing."""
    try:
        db.executescript(f"BEGIN IMMEDIATE; {statements} COMMIT;")
    except sqlite3.Error:
        if db.in_transaction:
            db.execute("ROLLBACK")
        raise


def book(db: sqlite3.Connection) -> str:
    """Which unbroken run of positions this is: 16 hex digits."""
    return cast(str, db.execute("SELECT id FROM book").fetchone()[0])

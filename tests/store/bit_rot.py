"""Damage to a data folder that nobody has open: one byte of one entry, as a disk loses it."""

import sqlite3
from contextlib import closing
from pathlib import Path

from benchbell.store.database import FILE_NAME


def rot(folder: Path, id: str, at: bytes, byte: bytes = b"\x00") -> None:
    """Overwrite, on the disk, the first byte of `at` in the body of the entry with this id."""
    file = folder / FILE_NAME
    with closing(sqlite3.connect(file)) as db:
        db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        row, blob = db.execute("SELECT position, body FROM happening WHERE id = ?", (id,)).fetchone()
    whole = file.read_bytes()
    start = whole.index(blob[:60])
    assert whole.count(blob[:60]) == 1, f"entry {row} stands in the file twice"
    place = start + blob.index(at)
    assert whole[place : place + len(at)] == at, "the entry goes over several pages: choose a byte near its beginning"
    with file.open("r+b") as opened:
        opened.seek(place)
        opened.write(byte)


def entry_ids(folder: Path, kind: str) -> list[str]:
    """Ids of the entries of a kind, by position."""
    with closing(sqlite3.connect(folder / FILE_NAME)) as db:
        return [row[0] for row in db.execute("SELECT id FROM happening WHERE kind = ? ORDER BY position", (kind,))]


def rot_column(folder: Path, id: str, column: str, value: object) -> None:
    """Overwrite another column of an entry, and what finds it, as if the disk had lost it."""
    with closing(sqlite3.connect(folder / FILE_NAME, isolation_level=None)) as db:
        db.execute(f'UPDATE happening SET "{column}" = ? WHERE id = ?', (value, id))

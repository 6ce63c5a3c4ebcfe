"""Records of a shop, and pages of their file that are overwritten as a failing disk does it."""

import sqlite3
from contextlib import closing
from random import Random

from benchbell.store.database import FILE_NAME, prepare
from benchbell.store.sqlite_records import ask_records
from benchbell.store.tables import VERSIONS
from scene import OTHER, PHONE, bodies, body, kept

MANY = 400
"""Enough entries for a tree of several pages."""


def shop(folder, versions=VERSIONS):
    """Records with the entries of two phones, one of them with labels, and a paired device."""
    prepare(folder, versions)

    async def fill(records):
        await records.take(PHONE, bodies(1, MANY))
        await records.take(OTHER, [body(1, OTHER, kind="remade", code="LEG7")])
        await records.add_device("a phone", 1, lambda n: bytes(n))
        return await kept(records)

    return ask_records(folder, fill)


def page_of(folder, name):
    """The number of the first page of a table or index, from 0, and the size of a page in bytes."""
    with closing(sqlite3.connect(folder / FILE_NAME)) as db:
        db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        root = db.execute("SELECT rootpage FROM sqlite_schema WHERE name = ?", (name,)).fetchone()[0]
        return root - 1, db.execute("PRAGMA page_size").fetchone()[0]


def spoil(folder, page, size):
    """Overwrite a page with random bytes."""
    with (folder / FILE_NAME).open("r+b") as file:
        file.seek(page * size)
        file.write(Random(page).randbytes(size))


def leaf_of_the_log(folder):
    """A page in the midst of the log's tree, found by what stands on it, and the size of a page."""
    _, size = page_of(folder, "happening")
    place = (folder / FILE_NAME).read_bytes().index(bodies(MANY // 2, MANY // 2)[0][:60])
    return place // size, size

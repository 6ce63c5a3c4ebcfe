"""Damaged records: a start puts right what lost nothing, and `benchbell salvage` saves what can be read."""

import asyncio
import sqlite3
from contextlib import closing
from random import Random

import pytest
from benchbell.findings import Refused
from benchbell.store.database import FILE_NAME, prepare
from benchbell.store.errors import Damaged, StoreError
from benchbell.store.salvage import DISPENSABLE, mend, salvage
from benchbell.store.sqlite_records import ask_records, open_records
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


INDEXES = ("sqlite_autoindex_happening_1", "sqlite_autoindex_happening_2", "happening_of_build")


@pytest.mark.parametrize("name", [*INDEXES, *DISPENSABLE])
def test_a_start_puts_right_what_lost_no_entry(tmp_path, name):
    before = shop(tmp_path)
    spoil(tmp_path, *page_of(tmp_path, name))
    spoilt = (tmp_path / FILE_NAME).read_bytes()
    with pytest.raises(Damaged, match="benchbell salvage"):
        prepare(tmp_path)

    said = mend(tmp_path)

    prepare(tmp_path)
    assert before == ask_records(tmp_path, kept)
    assert ["a phone"] == [d.name for d in ask_records(tmp_path, lambda records: records.all_devices())]
    assert f"all {MANY + 1} entries are there" in said and said.count(DISPENSABLE.get(name, "")) >= 1
    assert [spoilt] == [file.read_bytes() for file in tmp_path.glob(".damaged-1-benchbell.db")]
    assert {FILE_NAME, ".damaged-1-benchbell.db"} == {file.name for file in tmp_path.iterdir()}
    assert "" == mend(tmp_path)


def test_codes_that_were_given_out_stay_in_use(tmp_path):
    shop(tmp_path)
    spoil(tmp_path, *page_of(tmp_path, "label_code"))
    mend(tmp_path)
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as db:
        assert [("LEG7",)] == db.execute("SELECT code FROM label_code").fetchall()


def test_records_without_damage_are_left_alone(tmp_path):
    shop(tmp_path)
    before = (tmp_path / FILE_NAME).stat()

    assert "" == mend(tmp_path) == mend(tmp_path / "not-there")
    assert before.st_ino == (tmp_path / FILE_NAME).stat().st_ino


def leaf_of_the_log(folder):
    """A page in the midst of the log's tree, found by what stands on it, and the size of a page."""
    _, size = page_of(folder, "happening")
    place = (folder / FILE_NAME).read_bytes().index(bodies(MANY // 2, MANY // 2)[0][:60])
    return place // size, size


def test_entries_that_are_gone_keep_the_damaged_records_in_place(tmp_path):
    shop(tmp_path)
    spoil(tmp_path, *leaf_of_the_log(tmp_path))
    spoilt = (tmp_path / FILE_NAME).read_bytes()

    with pytest.raises(Damaged, match=r"is damaged .*restore the last backup.*Without a backup.*benchbell salvage"):
        mend(tmp_path)

    assert spoilt == (tmp_path / FILE_NAME).read_bytes()


@pytest.mark.parametrize("versions", [VERSIONS, VERSIONS[:4], VERSIONS[:1]], ids=["now", "older", "oldest"])
def test_what_can_be_read_around_the_damage_is_saved(tmp_path, versions):
    data, new = tmp_path / "data", tmp_path / "new"
    prepare(data, versions)
    with closing(sqlite3.connect(data / FILE_NAME)) as db:
        rows = [(PHONE, n, f"id-{n}", "stand", "noted", one) for n, one in enumerate(bodies(1, MANY), 1)]
        db.executemany("INSERT INTO happening (device, n, id, build, kind, body) VALUES (?, ?, ?, ?, ?, ?)", rows)
        db.commit()
    (data / "photos" / "ab").mkdir(parents=True)
    (data / "photos" / "ab" / "picture").write_bytes(b"a picture")
    spoil(data, *leaf_of_the_log(data))
    spoilt = (data / FILE_NAME).read_bytes()

    saved = salvage(data, new)

    with closing(sqlite3.connect(new / FILE_NAME)) as db:
        left = [row[0] for row in db.execute("SELECT n FROM happening ORDER BY position")]
    assert MANY - 40 < len(left) < MANY and {1, MANY} < set(left)
    assert (len(left), MANY - len(left)) == (saved.happenings, saved.missing)
    assert "happening" in saved.unread and not saved.is_whole
    assert b"a picture" == (new / "photos" / "ab" / "picture").read_bytes()
    assert spoilt == (data / FILE_NAME).read_bytes()


def test_the_saved_log_has_an_epoch_of_its_own(tmp_path):
    shop(tmp_path / "data")
    salvage(tmp_path / "data", tmp_path / "new")

    assert 2 == len({ask_records(tmp_path / name, lambda records: records.log_epoch()) for name in ("data", "new")})
    with pytest.raises(Refused, match=r"is there already. Name a new folder."):
        salvage(tmp_path / "data", tmp_path / "new")


@pytest.mark.parametrize("spoilt", [b"", b"no database" * 1000])
def test_where_nothing_can_be_read_nothing_is_left_behind(tmp_path, spoilt):
    shop(tmp_path / "data")
    (tmp_path / "data" / FILE_NAME).write_bytes(spoilt)
    with pytest.raises(StoreError, match=r"is damaged|Nothing can be read"):
        salvage(tmp_path / "data", tmp_path / "new")

    assert ["data"] == [file.name for file in tmp_path.iterdir()]
    assert spoilt == (tmp_path / "data" / FILE_NAME).read_bytes()


def deleted(file):
    file.unlink()


def replaced(file):
    copy = file.read_bytes()
    file.unlink()
    file.write_bytes(copy)


@pytest.mark.parametrize("name", [FILE_NAME, f"{FILE_NAME}-wal"])
@pytest.mark.parametrize("done", [deleted, replaced])
def test_nothing_is_confirmed_once_the_file_has_lost_its_name(tmp_path, name, done):
    async def work():
        records = await open_records(tmp_path)
        await records.take(PHONE, bodies(1, 2))
        done(tmp_path / name)
        try:
            with pytest.raises(StoreError, match=f"{name} was deleted, moved or replaced while the server runs. Stop"):
                await records.take(PHONE, bodies(3, 3))
            return await records.scrub_file()
        finally:
            await records.close()

    assert f"{tmp_path / name} was deleted" in asyncio.run(work())

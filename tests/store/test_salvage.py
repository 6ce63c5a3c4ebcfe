"""`benchbell salvage` saves what can be read of damaged records."""

import asyncio
import sqlite3
from contextlib import closing

import pytest
from benchbell.findings import Refused
from benchbell.store.database import FILE_NAME, prepare
from benchbell.store.errors import StoreError
from benchbell.store.salvage import salvage
from benchbell.store.sqlite_records import ask_records, open_records
from benchbell.store.tables import VERSIONS
from scene import PHONE, bodies
from store.damaged_pages import MANY, leaf_of_the_log, shop, spoil


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

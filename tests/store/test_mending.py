"""A start puts damaged records right where that loses nothing, also when one before it was killed at that."""

import shutil
import sqlite3
from contextlib import closing

import pytest
from benchbell.store import database, mending
from benchbell.store.database import FILE_NAME, MENDED, check_file, prepare
from benchbell.store.errors import Damaged
from benchbell.store.mending import mend, prepare_mended
from benchbell.store.salvage import DISPENSABLE
from benchbell.store.sqlite_records import ask_records
from killed_at_each_touch import killed_at_each_touch
from scene import PHONE, bodies, kept
from store.damaged_pages import MANY, leaf_of_the_log, page_of, shop, spoil

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


def test_entries_that_are_gone_keep_the_damaged_records_in_place(tmp_path):
    shop(tmp_path)
    spoil(tmp_path, *leaf_of_the_log(tmp_path))
    spoilt = (tmp_path / FILE_NAME).read_bytes()

    with pytest.raises(Damaged, match=r"is damaged .*restore the last backup.*Without a backup.*benchbell salvage"):
        mend(tmp_path)

    assert spoilt == (tmp_path / FILE_NAME).read_bytes()


def with_write_ahead_log(folder):
    """Damaged records of which the last entries stand in the write-ahead log alone; gives the log's entries."""
    shop(folder / "shop")

    async def fill(records):
        await records.take(PHONE, bodies(MANY + 1, MANY + 10))
        for end in ("", "-wal"):
            shutil.copyfile(folder / "shop" / f"{FILE_NAME}{end}", folder / f"{FILE_NAME}{end}")
        return await kept(records)

    page, size = page_of(folder / "shop", "calendar_entry")
    entries = ask_records(folder / "shop", fill)
    shutil.rmtree(folder / "shop")
    assert (folder / f"{FILE_NAME}-wal").stat().st_size > 0
    spoil(folder, page, size)
    return entries


def test_a_start_after_one_that_was_killed_finds_the_records_whole(tmp_path):
    damaged, cuts = tmp_path / "damaged", tmp_path / "cuts"
    damaged.mkdir()
    cuts.mkdir()
    entries = with_write_ahead_log(damaged)
    last = killed_at_each_touch(
        "from benchbell.store.mending import prepare_mended",
        "shutil.copytree(given, folder)",
        'assert "have been put right" in prepare_mended(folder)',
        damaged,
        cuts,
    )
    cut_between = 0
    for number in range(1, last + 1):
        folder = cuts / str(number)
        cut_between += (folder / MENDED).exists()
        prepare_mended(folder)

        assert entries == ask_records(folder, kept)
        assert "" == prepare_mended(folder)
        aside = {f".damaged-1-{FILE_NAME}{end}" for end in ("", "-wal", "-shm")}
        assert {one.name for one in folder.iterdir()} - aside == {FILE_NAME}
        assert (folder / f".damaged-1-{FILE_NAME}").exists()
    assert last > 20
    assert cut_between >= 3


def test_no_command_makes_new_records_while_those_that_were_put_right_have_no_name_yet(tmp_path):
    shop(tmp_path)
    (tmp_path / FILE_NAME).rename(tmp_path / MENDED)
    with pytest.raises(Damaged, match=r"was being put right. Start the server: it finishes that."):
        prepare(tmp_path)

    assert "have been put right. Look at the disk" in prepare_mended(tmp_path)
    assert MANY + 1 == len(ask_records(tmp_path, kept))


def test_records_without_damage_are_checked_once(tmp_path, monkeypatch):
    shop(tmp_path)
    checks = []
    for place in (mending, database):
        monkeypatch.setattr(place, "check_file", lambda db, file: checks.append(check_file(db, file)))
    prepare_mended(tmp_path)

    assert [None] == checks

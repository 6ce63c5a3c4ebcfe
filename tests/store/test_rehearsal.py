"""Daily backups, how many of them stay, and whether one of them can be restored."""

import os
import zipfile

import pytest
from benchbell.durations import DAY_MS, HOUR_MS
from benchbell.findings import Refused
from benchbell.store.backup import back_up
from benchbell.store.backup_folder import back_up_into, dated, due_in_ms, newest_backup
from benchbell.store.errors import DiskFull
from benchbell.store.rehearsal import rehearse
from benchbell.store.sqlite_records import ask_records
from benchbell.store.whole_file import write_whole
from full_disk import fill_disk_of, make_room_for
from scene import NOON, PHONE, bodies

AUTHORITY = "certificate/authority.pem"


@pytest.fixture
def data(tmp_path):
    """A data folder with some happenings and an authority."""
    ask_records(tmp_path / "data", lambda records: records.take(PHONE, bodies(1, 10)))
    write_whole(tmp_path / "data" / AUTHORITY, b"the workshop's authority")
    return tmp_path / "data"


@pytest.fixture
def folder(tmp_path):
    """An empty folder for backups."""
    (tmp_path / "backups").mkdir()
    return tmp_path / "backups"


def names_in(folder):
    return sorted(one.name for one in folder.iterdir())


def test_only_the_newest_stay_and_nothing_of_others_is_deleted(data, folder):
    for name in ("benchbell.zip", "benchbell-2020-01-01.zip", "holiday.zip", "benchbell-2020-01-01T000000Z.zip.part"):
        (folder / name).write_bytes(b"theirs")
    (folder / "benchbell-2020-01-02T000000Z.zip").symlink_to(folder / "holiday.zip")
    theirs = names_in(folder)
    for day in range(5):
        back_up_into(data, folder, NOON + day * DAY_MS, keep=3)

    assert sorted([*theirs, *(dated(NOON + day * DAY_MS) for day in (2, 3, 4))]) == names_in(folder)


def test_an_old_one_is_not_deleted_when_the_new_one_cannot_be_read_back(data, folder, monkeypatch):
    back_up_into(data, folder, NOON, keep=1)
    monkeypatch.setattr("benchbell.store.backup.first_spoiled", lambda _: "benchbell.db")
    with pytest.raises(Refused, match=r"benchbell.db cannot be read back from the backup. Check the disk"):
        back_up_into(data, folder, NOON + DAY_MS, keep=1)

    assert [dated(NOON)] == names_in(folder)


def test_nothing_is_deleted_while_something_in_the_records_is_damaged(data, folder):
    back_up_into(data, folder, NOON, keep=1)
    write_whole(data / "photos" / "ab" / ("ab" * 32), b"damaged")
    back_up_into(data, folder, NOON + DAY_MS, keep=1, with_damage=True)

    assert [dated(NOON), dated(NOON + DAY_MS)] == names_in(folder)


def test_a_backup_with_fewer_entries_pushes_out_none_with_more(data, folder, tmp_path):
    back_up_into(data, folder, NOON, keep=1)
    ask_records(tmp_path / "younger", lambda records: records.take(PHONE, bodies(1, 1)))
    made = back_up_into(tmp_path / "younger", folder, NOON + DAY_MS, keep=1)

    assert str(folder / dated(NOON)) == made.fuller
    assert [dated(NOON), dated(NOON + DAY_MS)] == names_in(folder)


def test_a_backup_that_finds_no_room_leaves_nothing_and_deletes_nothing(data, folder):
    back_up_into(data, folder, NOON, keep=1)
    fill_disk_of(0)
    try:
        with pytest.raises(DiskFull) as refused:
            back_up_into(data, folder, NOON + DAY_MS, keep=1)
    finally:
        make_room_for(0)

    assert f"The disk with {folder / dated(NOON + DAY_MS)} is full." == refused.value.what
    assert [dated(NOON)] == names_in(folder)


def test_one_is_due_a_day_after_the_newest_whatever_a_wrong_clock_once_wrote(data, folder):
    first = due_in_ms(folder, NOON)
    back_up_into(data, folder, NOON + 9 * 365 * DAY_MS, keep=2)
    ahead = due_in_ms(folder, NOON)
    back_up_into(data, folder, NOON, keep=2)
    waits = [due_in_ms(folder, NOON + ms) for ms in (0, HOUR_MS, DAY_MS, 3 * DAY_MS)]
    for day in (1, 2):
        back_up_into(data, folder, NOON + day * DAY_MS, keep=2)

    assert (0, 0) == (first, ahead)
    assert [DAY_MS, DAY_MS - HOUR_MS, 0, 0] == waits
    assert [dated(NOON + day * DAY_MS) for day in (1, 2)] == names_in(folder)


def test_a_folder_that_is_not_there_is_said_and_never_made(data, tmp_path):
    with pytest.raises(Refused, match=r"is not there. Plug in its disk, or make the folder."):
        back_up_into(data, tmp_path / "usb" / "backups", NOON, keep=3)

    assert not (tmp_path / "usb").exists()


@pytest.mark.parametrize("place", ["copy.zip", "photos/copy.zip", "../data/copy.zip"])
def test_a_backup_is_never_written_into_the_data_folder(data, place):
    with pytest.raises(Refused, match=r"is inside the data folder .* Choose a place outside it, best on another disk."):
        back_up(data, data / place)


def test_backups_that_lie_in_the_data_folder_and_links_are_left_out_and_named(data, folder, tmp_path):
    back_up(data, folder / "first.zip")
    (folder / "first.zip").rename(data / "first.zip")
    (data / "recipes.zip").write_bytes(b"no backup")
    (data / "link").symlink_to(tmp_path)
    made = back_up(data, folder / "second.zip")
    with zipfile.ZipFile(folder / "second.zip") as archive:
        names = set(archive.namelist())

    assert ("link", "first.zip") == made.left_out
    assert {"benchbell.db", "backup.json", AUTHORITY, "recipes.zip"} == names


def test_a_rehearsal_restores_the_newest_and_says_what_came_since(data, folder):
    back_up(data, folder / "old.zip")
    os.utime(folder / "old.zip", (1, 1))
    back_up_into(data, folder, NOON, keep=None)
    ask_records(data, lambda records: records.take(PHONE, bodies(11, 14)))
    found = rehearse(newest_backup(data, None), data)

    assert str(folder / dated(NOON)) == found.file
    assert (10, 4, 0, True) == (found.happenings, found.newer, found.different, found.is_good)


def test_a_rehearsal_says_what_the_records_have_lost(data, folder):
    write_whole(data / "photos" / "ab" / ("ab" * 32), b"damaged")
    write_whole(data / "note.txt", b"a note")
    back_up(data, folder / "copy.zip", with_damage=True)
    write_whole(data / AUTHORITY, b"another authority")
    (data / "note.txt").unlink()

    async def lose(records):
        await records.database.write(lambda db: db.execute("DELETE FROM happening WHERE n = 3"))
        await records.database.write(lambda db: db.execute("UPDATE happening SET body = x'00' WHERE n = 4"))

    ask_records(data, lose)
    found = rehearse(folder / "copy.zip", data)

    assert not found.is_good
    assert 2 == found.different
    assert ("note.txt",) == found.gone
    assert (f"photos/ab/{'ab' * 32}",) == found.damaged
    assert found.other_authority


def test_without_a_backup_a_rehearsal_says_how_to_make_one(data, folder):
    for where, why in ((None, "No backup of .* was made yet"), (folder, "There is no backup in")):
        with pytest.raises(Refused, match=rf"{why}.* Make one: benchbell backup FILE."):
            newest_backup(data, where)

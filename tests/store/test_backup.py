"""Backups: taken while the shop works, verified, and restored."""

import asyncio
import zipfile

import pytest
from benchbell.findings import Refused
from benchbell.store.backup import back_up, restore
from benchbell.store.database import FILE_NAME, book
from benchbell.store.happenings import take
from store.opened import kept, opened, with_database
from store.sent import PHONE, bodies


async def whole(database):
    """All that is in the book, and the book's name."""
    return await database.read(kept), await database.read(book)


def test_a_restored_backup_holds_every_happening_photo_and_key_in_a_new_book(tmp_path):
    data, copy, back = tmp_path / "data", tmp_path / "copy.zip", tmp_path / "back"
    with_database(data, lambda database: take(database, PHONE, bodies(1, 50)))
    (data / "photos" / "ab").mkdir(parents=True)
    (data / "photos" / "ab" / "abc").write_bytes(b"a picture")
    made = back_up(data, copy)
    restored = restore(copy, back)
    (before, old_book), (now, new_book) = with_database(data, whole), with_database(back, whole)

    assert before == now == bodies(1, 50)
    assert old_book != new_book
    assert (50, 2) == (made.happenings, made.files) == (restored.happenings, restored.files)
    assert (back / "photos" / "ab" / "abc").read_bytes() == b"a picture"
    assert {0o600} == {file.stat().st_mode & 0o777 for file in back.rglob("*") if file.is_file()}


def test_a_backup_restored_twice_is_a_new_book_each_time(tmp_path):
    with_database(tmp_path / "data", lambda database: take(database, PHONE, bodies(1, 2)))
    back_up(tmp_path / "data", tmp_path / "copy.zip")
    books = set()
    for name in ("once", "twice"):
        restore(tmp_path / "copy.zip", tmp_path / name)
        books.add(with_database(tmp_path / name, whole)[1])

    assert 2 == len(books)


def test_a_backup_under_load_is_the_book_as_of_one_moment(tmp_path):
    async def phones(database, under_way, stop):
        taken = 0
        while not stop.is_set():
            taken = await take(database, PHONE, bodies(taken + 1, taken + 5))
            under_way.set()
        return taken

    async def run():
        under_way, stop = asyncio.Event(), asyncio.Event()
        async with opened(tmp_path / "data") as database:
            writing = asyncio.create_task(phones(database, under_way, stop))
            await under_way.wait()
            for number in range(3):
                await asyncio.to_thread(back_up, tmp_path / "data", tmp_path / f"{number}.zip")
            stop.set()
            return await writing

    taken = asyncio.run(run())
    for number in range(3):
        restore(tmp_path / f"{number}.zip", tmp_path / f"back-{number}")
        kept, _ = with_database(tmp_path / f"back-{number}", whole)

        assert 0 < len(kept) <= taken
        assert bodies(1, len(kept)) == kept


def test_neither_backup_nor_restore_overwrites_anything(tmp_path):
    with_database(tmp_path / "data", lambda database: take(database, PHONE, bodies(1, 2)))
    back_up(tmp_path / "data", tmp_path / "copy.zip")

    with pytest.raises(Refused, match=r"is there already. Choose another name"):
        back_up(tmp_path / "data", tmp_path / "copy.zip")
    with pytest.raises(Refused, match=r"holds records already. Move that folder away"):
        restore(tmp_path / "copy.zip", tmp_path / "data")


def test_a_damaged_backup_is_refused_and_nothing_is_left_of_it(tmp_path):
    with_database(tmp_path / "data", lambda database: take(database, PHONE, bodies(1, 200)))
    back_up(tmp_path / "data", tmp_path / "copy.zip")
    spoiled = bytearray((tmp_path / "copy.zip").read_bytes())
    spoiled[len(spoiled) // 2] ^= 0xFF
    (tmp_path / "copy.zip").write_bytes(spoiled)

    with pytest.raises(Refused, match=r"is not a whole backup of Benchbell. Try the backup before it."):
        restore(tmp_path / "copy.zip", tmp_path / "back")

    assert not (tmp_path / "back" / FILE_NAME).exists()


@pytest.mark.parametrize("name", ["../outside", "/outside", "photos/../../outside"])
def test_a_backup_cannot_write_outside_its_folder(tmp_path, name):
    with_database(tmp_path / "data", lambda database: take(database, PHONE, bodies(1, 2)))
    back_up(tmp_path / "data", tmp_path / "copy.zip")
    with zipfile.ZipFile(tmp_path / "copy.zip", "a") as archive:
        archive.writestr(name, b"x")
    with pytest.raises(Refused, match=r"is not a whole backup"):
        restore(tmp_path / "copy.zip", tmp_path / "deep" / "back")

    assert not list(tmp_path.rglob("outside"))


def test_a_backup_that_does_not_fit_leaves_nothing(tmp_path):
    with_database(tmp_path / "data", lambda database: take(database, PHONE, bodies(1, 2)))

    with pytest.raises(Refused, match=r"cannot be written"):
        back_up(tmp_path / "data", tmp_path / "no" / "such" / "copy.zip")
    with pytest.raises(Refused, match=r"There are no records in"):
        back_up(tmp_path / "empty", tmp_path / "copy.zip")

    assert {tmp_path / "data"} == set(tmp_path.iterdir())

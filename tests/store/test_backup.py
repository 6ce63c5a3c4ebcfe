"""Backups: taken while the shop works, verified, and restored."""

import asyncio
import hashlib
import zipfile
from contextlib import closing

import pytest
from benchbell.findings import Refused
from benchbell.store.backup import back_up
from benchbell.store.connection import connect
from benchbell.store.database import FILE_NAME, prepare
from benchbell.store.errors import Damaged
from benchbell.store.restore import restore
from benchbell.store.sqlite_records import ask_records, open_records
from benchbell.store.tables import VERSIONS
from benchbell.store.whole_file import write_whole
from scene import PHONE, bodies, body, id7, kept
from store.bit_rot import rot


async def whole(records):
    """All that is in the log, and the log's epoch."""
    return await kept(records), await records.log_epoch()


def photo_in(data, body) -> str:
    """Put a photo into the data folder; gives its path inside it."""
    name = hashlib.sha256(body).hexdigest()
    write_whole(data / "photos" / name[:2] / name, body)
    return f"photos/{name[:2]}/{name}"


def test_a_restored_backup_holds_every_happening_photo_and_key_in_a_new_epoch(tmp_path):
    data, copy, back = tmp_path / "data", tmp_path / "copy.zip", tmp_path / "back"
    ask_records(data, lambda records: records.take(PHONE, bodies(1, 50)))
    photo = photo_in(data, b"a picture")
    made = back_up(data, copy)
    restored = restore(copy, back)
    (before, old_epoch), (now, new_epoch) = ask_records(data, whole), ask_records(back, whole)

    assert before == now == bodies(1, 50)
    assert old_epoch != new_epoch
    assert (50, 2) == (made.happenings, made.files) == (restored.happenings, restored.files)
    assert (back / photo).read_bytes() == b"a picture"
    assert {0o600} == {file.stat().st_mode & 0o777 for file in back.rglob("*") if file.is_file()}


def test_a_backup_restored_twice_begins_a_new_epoch_each_time(tmp_path):
    ask_records(tmp_path / "data", lambda records: records.take(PHONE, bodies(1, 2)))
    back_up(tmp_path / "data", tmp_path / "copy.zip")
    epochs = set()
    for name in ("once", "twice"):
        restore(tmp_path / "copy.zip", tmp_path / name)
        epochs.add(ask_records(tmp_path / name, whole)[1])

    assert 2 == len(epochs)


def test_a_backup_under_load_is_the_log_as_of_one_moment(tmp_path):
    async def phones(records, under_way, stop):
        taken = 0
        while not stop.is_set():
            taken = await records.take(PHONE, bodies(taken + 1, taken + 5))
            under_way.set()
        return taken

    async def run():
        under_way, stop = asyncio.Event(), asyncio.Event()
        records = await open_records(tmp_path / "data")
        writing = asyncio.create_task(phones(records, under_way, stop))
        await under_way.wait()
        for number in range(3):
            await asyncio.to_thread(back_up, tmp_path / "data", tmp_path / f"{number}.zip")
        stop.set()
        taken = await writing
        await records.close()
        return taken

    taken = asyncio.run(run())
    for number in range(3):
        restore(tmp_path / f"{number}.zip", tmp_path / f"back-{number}")
        came, _ = ask_records(tmp_path / f"back-{number}", whole)

        assert 0 < len(came) <= taken
        assert bodies(1, len(came)) == came


def test_a_backup_of_older_tables_is_brought_up_to_date_and_the_original_left_alone(tmp_path):
    file = prepare(tmp_path / "data", VERSIONS[:3])
    back_up(tmp_path / "data", tmp_path / "copy.zip")
    restore(tmp_path / "copy.zip", tmp_path / "back")
    versions = []
    for each in (file, tmp_path / "back" / FILE_NAME):
        with closing(connect(each)) as db:
            versions.append(db.execute("PRAGMA user_version").fetchone()[0])

    assert [3, len(VERSIONS)] == versions


def test_neither_backup_nor_restore_overwrites_anything(tmp_path):
    ask_records(tmp_path / "data", lambda records: records.take(PHONE, bodies(1, 2)))
    back_up(tmp_path / "data", tmp_path / "copy.zip")

    with pytest.raises(Refused, match=r"is there already. Choose another name"):
        back_up(tmp_path / "data", tmp_path / "copy.zip")
    with pytest.raises(Refused, match=r"holds records already. Move that folder away"):
        restore(tmp_path / "copy.zip", tmp_path / "data")


def test_a_damaged_backup_is_refused_and_nothing_is_left_of_it(tmp_path):
    ask_records(tmp_path / "data", lambda records: records.take(PHONE, bodies(1, 200)))
    back_up(tmp_path / "data", tmp_path / "copy.zip")
    spoiled = bytearray((tmp_path / "copy.zip").read_bytes())
    spoiled[len(spoiled) // 2] ^= 0xFF
    (tmp_path / "copy.zip").write_bytes(spoiled)

    with pytest.raises(Refused, match=r"is not a whole backup of Benchbell: .* is damaged. Try the backup before it."):
        restore(tmp_path / "copy.zip", tmp_path / "back")

    assert {"data", "copy.zip"} == {one.name for one in tmp_path.iterdir()}


@pytest.mark.parametrize("name", ["../outside", "/outside", "photos/../../outside"])
def test_a_backup_cannot_write_outside_its_folder(tmp_path, name):
    ask_records(tmp_path / "data", lambda records: records.take(PHONE, bodies(1, 2)))
    back_up(tmp_path / "data", tmp_path / "copy.zip")
    with zipfile.ZipFile(tmp_path / "copy.zip", "a") as archive:
        archive.writestr(name, b"x")
    with pytest.raises(Refused, match=r"is not a whole backup"):
        restore(tmp_path / "copy.zip", tmp_path / "deep" / "back")

    assert not list(tmp_path.rglob("outside"))


def test_a_backup_that_does_not_fit_leaves_nothing(tmp_path):
    ask_records(tmp_path / "data", lambda records: records.take(PHONE, bodies(1, 2)))

    with pytest.raises(Refused, match=r"cannot be written"):
        back_up(tmp_path / "data", tmp_path / "no" / "such" / "copy.zip")
    with pytest.raises(Refused, match=r"There are no records in"):
        back_up(tmp_path / "empty", tmp_path / "copy.zip")

    assert {tmp_path / "data"} == set(tmp_path.iterdir())


def test_a_damaged_entry_is_not_backed_up_as_if_it_were_whole(tmp_path):
    data, copy = tmp_path / "data", tmp_path / "copy.zip"
    ask_records(data, lambda records: records.take(PHONE, bodies(1, 50)))
    rot(data, id7(7), b"note 7", b"m")

    with pytest.raises(Refused, match=r"^1 entry is damaged: this is no whole copy. Open the page"):
        back_up(data, copy)
    assert not copy.exists()


def test_what_is_there_can_be_copied_all_the_same_and_restored(tmp_path):
    data, copy = tmp_path / "data", tmp_path / "copy.zip"
    ask_records(data, lambda records: records.take(PHONE, bodies(1, 50)))
    rot(data, id7(7), b"note 7", b"m")
    made, restored = back_up(data, copy, with_damage=True), restore(copy, tmp_path / "back")

    assert (1, 1) == (made.damaged_entries, restored.damaged_entries)
    assert [one for n, one in enumerate(bodies(1, 50), 1) if n != 7] == ask_records(tmp_path / "back", kept)


def test_a_photo_that_is_not_what_its_name_says_is_not_backed_up_as_if_it_were_whole(tmp_path):
    data = tmp_path / "data"
    ask_records(data, lambda records: records.take(PHONE, bodies(1, 2)))
    for picture in (b"one", b"two"):
        name = hashlib.sha256(picture).hexdigest()
        (data / "photos" / name[:2]).mkdir(parents=True)
        (data / "photos" / name[:2] / name).write_bytes(b"tw0" if picture == b"two" else picture)

    with pytest.raises(Refused, match=r"^1 photo is damaged"):
        back_up(data, tmp_path / "copy.zip")


def test_entries_that_were_damaged_under_older_tables_are_known_as_damaged(tmp_path):
    file = prepare(tmp_path / "data", VERSIONS[:4])
    with closing(connect(file)) as db:
        for n, body in enumerate(bodies(1, 3), 1):
            row = (PHONE, n, id7(n), "stand", "noted", b"\0" + body[1:] if n == 2 else body)
            db.execute("INSERT INTO happening (device, n, id, build, kind, body) VALUES (?, ?, ?, ?, ?, ?)", row)

    assert [bodies(1, 3)[0], bodies(1, 3)[2]] == ask_records(tmp_path / "data", kept)
    with pytest.raises(Refused, match=r"^1 entry is damaged"):
        back_up(tmp_path / "data", tmp_path / "copy.zip")


@pytest.mark.parametrize(("spoilt", "why"), [(b"", "it is empty"), (b"no database" * 1000, "file is not a database")])
def test_damaged_records_are_called_that_and_not_written_to(tmp_path, spoilt, why):
    ask_records(tmp_path / "data", lambda records: records.take(PHONE, bodies(1, 2)))
    (tmp_path / "data" / FILE_NAME).write_bytes(spoilt)
    with pytest.raises(Damaged, match=f"data/{FILE_NAME} is damaged .{why}.*Move the data folder away"):
        back_up(tmp_path / "data", tmp_path / "copy.zip")

    assert spoilt == (tmp_path / "data" / FILE_NAME).read_bytes()
    assert ["data"] == [one.name for one in tmp_path.iterdir()]


def test_another_programs_file_is_named_and_not_the_copy_of_it(tmp_path):
    prepare(tmp_path / "data")
    with closing(connect(tmp_path / "data" / FILE_NAME)) as db:
        db.execute("PRAGMA application_id = 1")
    with pytest.raises(Refused, match=f"{tmp_path / 'data' / FILE_NAME} is not Benchbell's"):
        back_up(tmp_path / "data", tmp_path / "copy.zip")


def test_photos_of_the_log_that_are_not_there_are_counted(tmp_path):
    name = hashlib.sha256(b"a picture").hexdigest()
    ask_records(tmp_path / "data", lambda records: records.take(PHONE, [body(1, kind="photo", sha256=name)]))
    lost = back_up(tmp_path / "data", tmp_path / "lost.zip")
    photo_in(tmp_path / "data", b"a picture")

    assert (1, 0) == (lost.missing, back_up(tmp_path / "data", tmp_path / "copy.zip").missing)

"""Restoring: into an empty folder only, whole or not at all, whatever the backup holds and whenever it is cut."""

import errno
import os
import shutil
import stat
import zipfile
from collections import namedtuple
from contextlib import closing

import pytest
from benchbell.cli import main
from benchbell.findings import Refused
from benchbell.store import restore as restoring
from benchbell.store.backup import back_up
from benchbell.store.connection import connect
from benchbell.store.database import FILE_NAME
from benchbell.store.errors import StoreError, disk_full
from benchbell.store.restore import restore, told_of
from benchbell.store.sqlite_records import ask_records
from benchbell.store.whole_file import write_whole
from killed_at_each_touch import in_child, killed_at_each_touch
from scene import PHONE, bodies, kept

KEY = "certificate/authority.key"
COUNT = 40


@pytest.fixture
def backup(tmp_path):
    """A backup of some happenings and a key."""
    ask_records(tmp_path / "data", lambda records: records.take(PHONE, bodies(1, COUNT)))
    write_whole(tmp_path / "data" / KEY, b"the workshop's key")
    back_up(tmp_path / "data", tmp_path / "copy.zip")
    return tmp_path / "copy.zip"


def names_in(folder):
    """Everything in it, hidden things too."""
    return {one.relative_to(folder).as_posix() for one in folder.rglob("*")}


def test_it_restores_into_an_empty_folder_and_leaves_nothing_beside_it(tmp_path, backup):
    (tmp_path / "back").mkdir()
    restore(backup, tmp_path / "back")

    assert bodies(1, COUNT) == ask_records(tmp_path / "back", kept)
    assert {"data", "copy.zip", "back"} == {one.name for one in tmp_path.iterdir()}


@pytest.mark.parametrize("is_there", [False, True], ids=["new", "empty"])
def test_only_this_user_can_enter_what_was_restored(tmp_path, backup, is_there):
    back = tmp_path / "back"
    usual = os.umask(0)  # a machine on which everybody may read what has no mode of its own
    try:
        if is_there:
            back.mkdir()
        restore(backup, back)
    finally:
        os.umask(usual)

    for one in (back, *back.rglob("*")):
        assert 0 == stat.S_IMODE(one.stat().st_mode) & 0o077, one


def test_a_full_disk_is_not_called_a_damaged_backup(tmp_path):
    full = disk_full(tmp_path)

    assert told_of(full, tmp_path / "copy.zip") is full


def test_what_is_no_zip_is_said_to_be_none(tmp_path):
    (tmp_path / "copy.zip").write_bytes(b"a letter")
    with pytest.raises(Refused, match=r"is not a whole backup of Benchbell: it is no zip, or its end is missing\. Try"):
        restore(tmp_path / "copy.zip", tmp_path / "back")


@pytest.mark.parametrize("name", ["notes.txt", ".hidden", "certificate"])
def test_a_folder_that_holds_anything_is_refused_and_left_as_it_was(tmp_path, backup, name):
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "authority.key").write_text("another key")
    back = tmp_path / "back"
    back.mkdir()
    if name == "certificate":
        (back / name).symlink_to(outside)
    else:
        (back / name).write_text("theirs")
        (back / name).chmod(0o644)
    with pytest.raises(Refused, match=rf"is not empty: it holds {name}. Choose an empty or a new folder with --data"):
        restore(backup, back)

    assert {name} == {one.name for one in back.iterdir()}
    assert "another key" == (outside / "authority.key").read_text()
    assert name == "certificate" or 0o644 == stat.S_IMODE((back / name).stat().st_mode)


def test_what_is_no_empty_folder_is_refused_with_what_to_do(tmp_path, backup):
    (tmp_path / "file").write_text("theirs")
    (tmp_path / "many").mkdir()
    for name in ("one", "three", "two"):
        (tmp_path / "many" / name).write_text("theirs")
    ways = {
        "file": f"{tmp_path}/file cannot be used (Not a directory). Choose another folder with --data.",
        "data": f"{tmp_path}/data holds records already. "
        "Move that folder away, do not delete it, or choose another with --data.",
        "many": f"{tmp_path}/many is not empty: it holds one and 2 more. "
        "Choose an empty or a new folder with --data; a restore touches nothing else.",
    }
    for name, sentence in ways.items():
        with pytest.raises(Refused) as refused:
            restore(backup, tmp_path / name)

        assert sentence == str(refused.value)


@pytest.mark.parametrize(
    ("number", "next_step"),
    [
        (errno.EIO, "Look at the disk, then try again."),
        (errno.EROFS, "Give this user the right to write in {}, or choose --data."),
    ],
    ids=["it fails", "read-only"],
)
def test_a_disk_that_fails_is_named_with_what_to_do(tmp_path, backup, monkeypatch, number, next_step):
    def failing(*_):
        raise OSError(number, os.strerror(number), str(tmp_path / "deep within"))

    monkeypatch.setattr(restoring, "sync_folders", failing)
    with pytest.raises(StoreError) as refused:
        restore(backup, tmp_path / "back")

    assert f"{tmp_path} cannot be written ({os.strerror(number)}). {next_step.format(tmp_path)}" == str(refused.value)
    assert {"data", "copy.zip"} == {one.name for one in tmp_path.iterdir()}


def test_a_folder_named_by_a_link_is_the_one_it_leads_to(tmp_path, backup):
    (tmp_path / "disk").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "disk" / "data")
    restore(backup, tmp_path / "link")

    assert (tmp_path / "disk" / "data" / FILE_NAME).is_file()
    assert (tmp_path / "link").is_symlink()


def member(name, content=b"x", kind=stat.S_IFREG):
    """One member of a zip, of any kind."""
    info = zipfile.ZipInfo(name)
    info.external_attr = (kind | 0o777) << 16
    return info, content


HOSTILE = {
    "a path upwards": [member("photos/../../outside")],
    "an absolute path": [member("/tmp/outside")],
    "a path of another system": [member("..\\outside")],
    "an empty part": [member("photos//x")],
    "a hidden file": [member(".profile")],
    "a control character": [member("photos/\x1b[2J")],
    "a link": [member("photos", b"/etc", stat.S_IFLNK)],
    "a device": [member("photos/pipe", b"", stat.S_IFIFO)],
    "a write-ahead log of its own": [member(f"{FILE_NAME}-wal")],
    "a file that is a folder too": [member("photos"), member("photos/ab")],
    "a name twice": [member(KEY)],
}


@pytest.mark.filterwarnings("ignore:Duplicate name")
@pytest.mark.parametrize("members", HOSTILE.values(), ids=HOSTILE)
def test_a_zip_that_holds_what_no_backup_does_is_refused_whole(tmp_path, backup, members):
    with zipfile.ZipFile(backup, "a") as archive:
        for info, content in members:
            archive.writestr(info, content)
    before = names_in(tmp_path)
    with pytest.raises(Refused, match=r"is not a whole backup of Benchbell: it holds .* Try the backup before it."):
        restore(backup, tmp_path / "deep" / "back")

    assert before | {"deep"} >= names_in(tmp_path)


def rewritten(backup, change):
    """The backup with its members as `change` gives them: name to bytes."""
    with zipfile.ZipFile(backup) as archive:
        members = {name: archive.read(name) for name in archive.namelist()}
    with zipfile.ZipFile(backup, "w") as archive:
        for name, content in change(members).items():
            archive.writestr(name, content)


def with_trigger(members, folder):
    file = folder / "strange.db"
    file.write_bytes(members[FILE_NAME])
    with closing(connect(file)) as db:
        db.execute("CREATE TRIGGER evil AFTER UPDATE ON log_epoch BEGIN DELETE FROM happening; END")
    return {**members, FILE_NAME: file.read_bytes()}


def other_program(folder):
    file = folder / "other.db"
    with closing(connect(file)) as db:
        db.execute("CREATE TABLE happening (what)")
        db.execute("PRAGMA journal_mode = DELETE")
    return file.read_bytes()


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (lambda members, _: {k: v for k, v in members.items() if k != FILE_NAME}, "there are no records in it"),
        (lambda members, _: {k: v for k, v in members.items() if k != KEY}, "it holds 0 files beside the records, not"),
        (lambda members, _: {**members, FILE_NAME: b"no database" * 1000}, "is damaged"),
        (lambda members, _: {**members, FILE_NAME: b""}, "its records are not Benchbell's|it holds"),
        (lambda members, _: {**members, "backup.json": b"{"}, "backup.json cannot be read"),
        (
            lambda members, _: {**members, "backup.json": b'{"tables":{"happening":41},"files":1}'},
            "of 41 rows of happening it holds",
        ),
        (with_trigger, "its records are not Benchbell's"),
        (lambda _, folder: {FILE_NAME: other_program(folder)}, "its records are not Benchbell's"),
    ],
)
def test_a_zip_whose_contents_are_not_a_backups_is_refused(tmp_path, backup, change, why):
    rewritten(backup, lambda members: change(members, tmp_path))
    before = names_in(tmp_path)
    with pytest.raises(Refused, match=rf"is not a whole backup of Benchbell: .*({why}).*Try the backup before it"):
        restore(backup, tmp_path / "back")

    assert before == names_in(tmp_path)


def test_a_zip_that_does_not_say_what_it_holds_is_restored_and_called_that(tmp_path, backup, capsys):
    assert not restore(backup, tmp_path / "first").unsaid
    rewritten(backup, lambda members: {name: body for name, body in members.items() if name != "backup.json"})

    assert 0 == main(["restore", str(backup), "--data", str(tmp_path / "back")])
    assert "It does not say how much it has to hold, so nobody can tell" in capsys.readouterr().out


def test_a_zip_that_says_less_than_it_unpacks_to_is_refused(tmp_path, backup):
    body = bytearray(backup.read_bytes())
    entry = body.rindex(b"PK\x01\x02", 0, body.index(FILE_NAME.encode(), body.index(b"PK\x01\x02")))
    body[entry + 24 : entry + 28] = (100).to_bytes(4, "little")  # APPNOTE 4.3.12: uncompressed size
    backup.write_bytes(body)
    with pytest.raises(Refused, match=rf"is not a whole backup of Benchbell: {FILE_NAME} is damaged"):
        restore(backup, tmp_path / "back")

    assert not (tmp_path / "back").exists()


def test_what_does_not_fit_is_said_before_anything_is_written(tmp_path, backup, monkeypatch):
    with zipfile.ZipFile(backup, "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("photos/huge", bytes(200_000_000))
    usage = namedtuple("usage", "total used free")
    monkeypatch.setattr(shutil, "disk_usage", lambda _: usage(10**9, 9 * 10**8, 10**8))
    with pytest.raises(Refused, match=r"needs 25\d MB, and the disk has 100 MB free. Make room, or choose"):
        restore(backup, tmp_path / "back")

    assert not (tmp_path / "back").exists()


FULL = """
import resource, sys
from pathlib import Path
from benchbell.findings import Refused
from benchbell.store.restore import restore
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[3]), resource.RLIM_INFINITY))
try:
    restore(Path(sys.argv[1]), Path(sys.argv[2]))
except Refused as error:
    print(error)
"""


@pytest.mark.parametrize("bytes_until_full", [0, 10, 5000, 100_000])
def test_a_disk_that_fills_meanwhile_leaves_nothing(tmp_path, backup, bytes_until_full):
    said = in_child(FULL, backup, tmp_path / "back", bytes_until_full).stdout

    assert f"The disk with {tmp_path} is full. Make room, then try again" in said
    assert {"data", "copy.zip"} == {one.name for one in tmp_path.iterdir()}


def test_a_restore_that_is_killed_at_any_moment_leaves_nothing_or_all(tmp_path, backup):
    (tmp_path / "cuts").mkdir()
    last = killed_at_each_touch(
        "from benchbell.store.restore import restore",
        "folder.mkdir()",
        'restore(given, folder / "back")',
        backup,
        tmp_path / "cuts",
    )
    whole = 0
    for number in range(1, last + 1):
        back = tmp_path / "cuts" / str(number) / "back"
        whole += back.exists()
        if not back.exists():
            restore(backup, back)

        assert bodies(1, COUNT) == ask_records(back, kept)
        assert b"the workshop's key" == (back / KEY).read_bytes()
        restore(backup, back.with_name("again"))
        assert {"back", "again"} == {one.name for one in back.parent.iterdir()}, "what the killed run left is there"
    assert last > 20
    assert 0 < whole < last


def test_a_photo_that_does_not_hold_what_its_name_says_is_named_and_left_out(tmp_path):
    photo = tmp_path / "data" / "photos" / "ab" / ("ab" * 32)
    ask_records(tmp_path / "data", lambda records: records.take(PHONE, bodies(1, 3)))
    write_whole(photo, b"another picture")
    made = back_up(tmp_path / "data", tmp_path / "copy.zip", with_damage=True)
    restored = restore(tmp_path / "copy.zip", tmp_path / "back")

    assert (f"photos/ab/{photo.name}",) == made.damaged == restored.damaged
    assert not (tmp_path / "back" / "photos" / "ab" / photo.name).exists()
    assert 3 == ask_records(tmp_path / "back", lambda records: records.newest_position())


def test_nothing_is_restored_into_another_data_folder(tmp_path):
    ask_records(tmp_path / "data", lambda records: records.take(PHONE, bodies(1, 2)))
    back_up(tmp_path / "data", tmp_path / "copy.zip")
    with pytest.raises(Refused, match=r"is inside the data folder .*/data. Choose a place outside it with --data."):
        restore(tmp_path / "copy.zip", tmp_path / "data" / "photos" / "within")

"""A photo or a backup stands under its name only once the disk has all of it."""

import asyncio
import errno
import hashlib
import os
import zipfile
from contextlib import closing

import pytest
from benchbell.findings import Refused
from benchbell.store.backup import back_up
from benchbell.store.connection import connect
from benchbell.store.database import FILE_NAME
from benchbell.store.errors import StoreError
from benchbell.store.photos import keep_photo, place_of
from benchbell.store.sqlite_records import ask_records
from pictures import picture
from scene import PHONE, bodies


def syncs_beside(place, monkeypatch):
    """Fills up with (inode, bytes, whether `place` was there) of each file or folder that is synced to the disk."""
    found, fsync = [], os.fsync

    def noted(handle):
        fsync(handle)
        status = os.fstat(handle)
        found.append((status.st_ino, status.st_size, place.exists()))

    monkeypatch.setattr(os, "fsync", noted)
    return found


def inode_and_size(place):
    return place.stat().st_ino, place.stat().st_size


async def in_two(body):
    yield body[:100]
    yield body[100:]


def test_a_photo_is_on_the_disk_before_it_has_its_name_and_its_name_before_the_answer(tmp_path, monkeypatch):
    body = picture("JPEG")
    sha256 = hashlib.sha256(body).hexdigest()
    place = place_of(tmp_path, sha256)
    synced = syncs_beside(place, monkeypatch)
    asyncio.run(keep_photo(tmp_path, sha256, in_two(body)))

    assert len(body) == place.stat().st_size
    assert synced.index((*inode_and_size(place), False)) < synced.index((*inode_and_size(place.parent), True))


def test_a_backup_is_on_the_disk_before_it_has_its_name(tmp_path, monkeypatch):
    ask_records(tmp_path / "data", lambda records: records.take(PHONE, bodies(1, 20)))
    target = tmp_path / "copy.zip"
    synced = syncs_beside(target, monkeypatch)
    back_up(tmp_path / "data", target)

    assert (*inode_and_size(target), False) in synced


def test_a_photo_that_the_disk_has_no_room_for_leaves_nothing(tmp_path, monkeypatch):
    body = picture("JPEG")
    place = place_of(tmp_path, hashlib.sha256(body).hexdigest())

    def full(handle):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises((OSError, StoreError)):
        asyncio.run(keep_photo(tmp_path, place.name, in_two(body)))

    assert [] == [file for file in tmp_path.rglob("*") if file.is_file()]


def test_a_backup_unpacked_by_hand_is_in_an_epoch_of_its_own(tmp_path):
    ask_records(tmp_path / "data", lambda records: records.take(PHONE, bodies(1, 2)))
    back_up(tmp_path / "data", tmp_path / "copy.zip")
    with zipfile.ZipFile(tmp_path / "copy.zip") as archive:
        archive.extractall(tmp_path / "by-hand")

    assert 2 == len({ask_records(tmp_path / name, lambda records: records.log_epoch()) for name in ("data", "by-hand")})


def test_records_that_lie_to_themselves_are_not_backed_up(tmp_path):
    ask_records(tmp_path / "data", lambda records: records.take(PHONE, bodies(1, 2)))
    with closing(connect(tmp_path / "data" / FILE_NAME)) as db:
        db.execute("PRAGMA writable_schema = ON")
        db.execute("UPDATE sqlite_schema SET sql = replace(sql, 'body BLOB NOT NULL', 'body INTEGER NOT NULL')")
    with pytest.raises(Refused, match=r"data/benchbell.db is damaged .*Move the data folder away"):
        back_up(tmp_path / "data", tmp_path / "copy.zip")

    assert not (tmp_path / "copy.zip").exists()

"""A photo or a backup stands under its name only once the disk has all of it."""

import asyncio
import hashlib
import os

from benchbell.store.backup import back_up
from benchbell.store.photos import keep_photo, place_of
from benchbell.store.sqlite_records import ask_records
from scene import PHONE, bodies
from web.test_photos import picture


def syncs_beside(place, monkeypatch):
    """Fills up with (inode, bytes, whether `place` was there) of each file or folder that is synced to the disk."""
    found, fsync = [], os.fsync

    def noted(handle):
        fsync(handle)
        told = os.fstat(handle)
        found.append((told.st_ino, told.st_size, place.exists()))

    monkeypatch.setattr(os, "fsync", noted)
    return found


def told(place):
    return place.stat().st_ino, place.stat().st_size


async def in_two(body):
    yield body[:100]
    yield body[100:]


def test_a_photo_is_on_the_disk_before_it_has_its_name_and_its_name_before_the_answer(tmp_path, monkeypatch):
    body = picture("JPEG", 64)
    sha256 = hashlib.sha256(body).hexdigest()
    place = place_of(tmp_path, sha256)
    synced = syncs_beside(place, monkeypatch)
    asyncio.run(keep_photo(tmp_path, sha256, in_two(body)))

    assert len(body) == place.stat().st_size
    assert [(*told(place), False), (*told(place.parent), True)] == synced


def test_a_backup_is_on_the_disk_before_it_has_its_name(tmp_path, monkeypatch):
    ask_records(tmp_path / "data", lambda records: records.take(PHONE, bodies(1, 20)))
    target = tmp_path / "copy.zip"
    synced = syncs_beside(target, monkeypatch)
    back_up(tmp_path / "data", target)

    assert (*told(target), False) in synced

"""A full disk stands in the log once, and once when it has room again, however many ask meanwhile."""

import hashlib

from benchbell.store.errors import DiskFull
from benchbell.store.sqlite_records import ask_records
from full_disk import fill_disk_of, make_room_for
from pictures import picture
from scene import PHONE, bodies, body
from structlog.testing import capture_logs


async def refused(work, times=5):
    """How many of so many tries find the disk full."""
    found = 0
    for _ in range(times):
        try:
            await work()
        except DiskFull:
            found += 1
    return found


def test_entries_and_photos_are_told_once_each(tmp_path):
    photo = picture("PNG")

    async def chunks():
        yield photo

    async def work(records):
        await records.take(PHONE, bodies(1, 3))
        fill_disk_of(0)
        try:
            entries = await refused(lambda: records.take(PHONE, [body(4)]))
            photos = await refused(lambda: records.keep_photo(hashlib.sha256(photo).hexdigest(), chunks()))
            await records.take(PHONE, [body(3)])  # known already: nothing is written, and nothing tells of room
        finally:
            make_room_for(0)
        for n in range(4, 7):
            await records.take(PHONE, [body(n)])
            await records.keep_photo(hashlib.sha256(photo).hexdigest(), chunks())
        return entries, photos

    with capture_logs() as lines:
        counts = ask_records(tmp_path, work)

    assert (5, 5) == counts
    assert [
        ("error", "no entries can be kept"),
        ("error", "no photos can be kept"),
        ("warning", "entries can be kept again"),
        ("warning", "photos can be kept again"),
    ] == [(line["log_level"], line["event"]) for line in lines]
    assert lines[0]["why"].endswith("benchbell.db is full.") and lines[0]["next_step"].startswith("Make room")

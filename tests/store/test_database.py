"""Opening the records, and what is said when they cannot be opened or written."""

import asyncio
import json
import os
import resource
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from contextlib import contextmanager
from pathlib import Path

import pytest
from benchbell.bench.encoding import read_envelope
from benchbell.store.connection import connect
from benchbell.store.database import FILE_NAME, prepare
from benchbell.store.errors import Damaged, DiskFull, StoreError
from benchbell.store.label_codes import is_used
from benchbell.store.log_slices import newest_position
from benchbell.store.sqlite_records import ask_records, open_records
from benchbell.store.tables import VERSIONS
from scene import PHONE, bodies, kept

SMALL = 1_048_576


def pragma(db, name):
    return db.execute(f"PRAGMA {name}").fetchone()[0]


def test_every_connection_waits_for_the_disk(tmp_path):
    # sqlite.org/pragma.html: synchronous 2 is FULL; in WAL mode it syncs the log after each commit.
    db = connect(prepare(tmp_path))

    assert ["wal", 2, 1] == [pragma(db, name) for name in ("journal_mode", "synchronous", "foreign_keys")]
    db.close()


def test_only_this_user_can_read_the_records(tmp_path):
    file = prepare(tmp_path / "data")

    assert (0o600, 0o700) == (file.stat().st_mode & 0o777, file.parent.stat().st_mode & 0o777)


def test_a_new_version_of_the_tables_keeps_what_is_there(tmp_path):
    ask_records(tmp_path, lambda records: records.take(PHONE, bodies(1, 3)))
    prepare(tmp_path, (*VERSIONS, "CREATE TABLE later (x INTEGER) STRICT"))
    db = connect(tmp_path / FILE_NAME)

    assert (3, len(VERSIONS) + 1) == (newest_position(db), pragma(db, "user_version"))
    db.close()


def test_label_codes_given_out_under_older_tables_stay_in_use(tmp_path):
    prepare(tmp_path, VERSIONS[:3])
    given = [
        {"kind": "started", "sheet": {"code": "OF-A-SHEET"}, "codes": {"A/leg": "LEG", "A/rail": "RAIL"}},
        {"kind": "remade", "part": "A/leg", "code": "NEWLEG"},
        {"kind": "noted", "code": "OF-A-NOTE"},
        {"kind": "started", "codes": "not of its form", "code": 7},
    ]
    db = connect(tmp_path / FILE_NAME)
    for n, what in enumerate(given, 1):
        row = (PHONE, n, str(n), "stand", what["kind"], json.dumps({"n": n, "what": what}).encode())
        db.execute("INSERT INTO happening (device, n, id, build, kind, body) VALUES (?, ?, ?, ?, ?, ?)", row)
    db.close()
    prepare(tmp_path)
    db = connect(tmp_path / FILE_NAME)

    assert [True, True, True, False, False] == [
        is_used(db, code) for code in ("LEG", "RAIL", "NEWLEG", "OF-A-SHEET", "OF-A-NOTE")
    ]
    db.close()


def test_the_reading_connection_cannot_write(tmp_path):
    async def work(records):
        with pytest.raises(StoreError, match="cannot be written"):
            await records.database.read(lambda db: db.execute("DELETE FROM happening"))

    ask_records(tmp_path, work)


def test_a_new_version_that_fails_leaves_the_old_one(tmp_path):
    prepare(tmp_path)
    with pytest.raises(StoreError):
        prepare(tmp_path, (*VERSIONS, "CREATE TABLE later (x INTEGER) STRICT; SELECT nonsense"))
    db = connect(tmp_path / FILE_NAME)

    assert len(VERSIONS) == pragma(db, "user_version")
    assert 0 == db.execute("SELECT count(*) FROM sqlite_schema WHERE name = 'later'").fetchone()[0]
    db.close()


def test_records_of_a_newer_program_are_left_alone(tmp_path):
    prepare(tmp_path, (*VERSIONS, "", ""))

    with pytest.raises(StoreError, match=rf"newer Benchbell .tables {len(VERSIONS) + 2}; this one knows .*Update"):
        prepare(tmp_path)


def test_a_file_of_another_program_is_left_alone(tmp_path):
    db = sqlite3.connect(tmp_path / FILE_NAME)
    db.execute("CREATE TABLE theirs (x)")
    db.close()

    with pytest.raises(StoreError, match=r"is not Benchbell's. Choose another folder"):
        prepare(tmp_path)


def test_a_folder_that_cannot_be_made_says_so(tmp_path):
    (tmp_path / "file").write_text("in the way")

    with pytest.raises(StoreError, match=r"cannot be made .Not a directory.*Choose another with --data"):
        prepare(tmp_path / "file" / "data")


@pytest.mark.parametrize("spoil", [lambda f: f.write_bytes(b"no database at all" * 500), lambda f: scribble(f)])
def test_a_damaged_file_is_noticed_when_it_is_opened(tmp_path, spoil):
    ask_records(tmp_path, lambda records: records.take(PHONE, bodies(1, 400)))
    spoil(tmp_path / FILE_NAME)

    with pytest.raises(Damaged, match=r"is damaged.*Move the data folder away, do not delete it, and restore the last"):
        prepare(tmp_path)


@pytest.mark.parametrize("log", [b"", b"what the server had written last"])
def test_an_empty_file_is_damage_and_not_a_new_log(tmp_path, log):
    ask_records(tmp_path, lambda records: records.take(PHONE, bodies(1, 4)))
    (tmp_path / FILE_NAME).write_bytes(b"")
    (tmp_path / f"{FILE_NAME}-wal").write_bytes(log)

    with pytest.raises(Damaged, match=r"is damaged .it is empty.. Move the data folder away, do not delete it"):
        prepare(tmp_path)

    assert 0 == (tmp_path / FILE_NAME).stat().st_size


def test_a_log_whose_records_are_gone_is_damage(tmp_path):
    ask_records(tmp_path, lambda records: records.take(PHONE, bodies(1, 4)))
    (tmp_path / FILE_NAME).unlink()
    (tmp_path / f"{FILE_NAME}-wal").write_bytes(b"what the server had written last")

    with pytest.raises(Damaged, match=r"is gone, but benchbell.db-wal is there"):
        prepare(tmp_path)

    assert not (tmp_path / FILE_NAME).exists()


CREATE = (
    "import sys; from pathlib import Path; from benchbell.store.database import prepare; prepare(Path(sys.argv[1]))"
)


@pytest.mark.parametrize("cut", ["migrate", "sync_to_disk"])
def test_records_whose_creation_is_cut_short_are_not_there(tmp_path, cut):
    killed = f"import os, benchbell.store.database as d; d.{cut} = lambda *_: os.kill(os.getpid(), 9); {CREATE}"
    child = subprocess.run(
        [sys.executable, "-c", killed, str(tmp_path)], env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    )

    assert -signal.SIGKILL == child.returncode
    assert not (tmp_path / FILE_NAME).exists()
    assert 4 == ask_records(tmp_path, lambda records: records.take(PHONE, bodies(1, 4)))


def scribble(file: Path) -> None:
    """Overwrite pages in the middle."""
    with file.open("r+b") as opened_file:
        opened_file.seek(3 * 4096)
        opened_file.write(b"\xa5" * 4096 * 12)


@contextmanager
def no_file_over(size: int):
    """The kernel refuses to let any file of this process grow beyond `size` bytes, as it does on a full disk.

    It needs no right to mount anything. Raise the limit (`room_again`) to make room.
    """
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        yield lambda: resource.setrlimit(resource.RLIMIT_FSIZE, before)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


def test_a_full_disk_is_said_and_survived(tmp_path):
    async def work(records):
        taken = 0
        with no_file_over(SMALL) as room_again:
            with pytest.raises(
                DiskFull, match=r"is full. Make room, then try again; what waits on the phones stays there."
            ):
                while True:
                    taken = await records.take(PHONE, bodies(taken + 1, taken + 100))
            room_again()
        after_room = await records.take(PHONE, bodies(taken + 1, taken + 100))
        return taken, after_room, await kept(records)

    before, after_room, here = ask_records(tmp_path, work)
    found = prepare(tmp_path)

    assert before > 0 and after_room == before + 100
    assert bodies(1, after_room) == here
    assert found.name == FILE_NAME


def test_damage_met_by_one_writer_is_told_to_all_of_its_group_and_nothing_is_kept(tmp_path):
    async def work(records):
        all_joined = threading.Event()
        group = [
            asyncio.create_task(writing)
            for writing in (
                records.database.write(lambda db: all_joined.wait(60)),
                records.take(PHONE, bodies(1, 2)),
                records.database.write(meet_damage),
            )
        ]
        await asyncio.sleep(0)  # each task runs as far as the queue; the first cannot end before the others joined
        all_joined.set()
        return await asyncio.gather(*group, return_exceptions=True), await records.newest_position()

    outcomes, last = ask_records(tmp_path, work)

    assert [StoreError] * 3 == [type(one) for one in outcomes]
    assert 0 == last


def meet_damage(db):
    raise sqlite3.DatabaseError("database disk image is malformed")


WRITER = """
import asyncio, sys
from pathlib import Path
from benchbell.store.label_codes import is_used
from benchbell.store.sqlite_records import open_records
from scene import bodies

async def phone(records, device):
    taken = 0
    while True:
        taken = await records.take(device, bodies(taken + 1, taken + 7, device))
        print(device, taken, flush=True)

async def run():
    records = await open_records(Path(sys.argv[1]))
    await asyncio.gather(*(phone(records, letter * 16) for letter in "abcd"))

asyncio.run(run())
"""


@pytest.mark.parametrize("seconds", [0.15, 0.3, 0.6])
def test_what_was_answered_survives_the_server_being_killed(tmp_path, seconds):
    paths = os.pathsep.join(sys.path)
    child = subprocess.Popen(
        [sys.executable, "-c", WRITER, str(tmp_path)],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": paths},
    )
    answered = dict(read_for(child, seconds))
    child.send_signal(signal.SIGKILL)
    rest, _ = child.communicate(timeout=10)
    answered |= dict(line.split() for line in rest.splitlines() if line.count(" ") == 1 and line[-1].isdigit())

    came = [read_envelope(body) for body in ask_records(tmp_path, kept)]
    by_device = {device: [h.n for h in came if h.at.device == device] for device in answered}

    assert answered
    for device, taken_to in answered.items():
        assert by_device[device] == list(range(1, len(by_device[device]) + 1))
        assert len(by_device[device]) >= int(taken_to)


def read_for(child, seconds):
    """Lines of the child, until so much time after its first has passed."""
    first = child.stdout.readline()
    until = time.monotonic() + seconds
    yield first.split()
    while time.monotonic() < until:
        yield child.stdout.readline().split()


def test_a_writer_that_went_away_is_served_and_does_no_harm(tmp_path):
    async def work(records):
        gone = asyncio.ensure_future(records.take(PHONE, bodies(1, 5)))
        await asyncio.sleep(0)
        gone.cancel()
        return await records.take(PHONE, bodies(1, 6))

    assert 6 == ask_records(tmp_path, work)


def test_writing_waits_for_a_command_that_writes_meanwhile(tmp_path):
    async def run():
        records = await open_records(tmp_path)
        other = connect(tmp_path / FILE_NAME)
        other.execute("BEGIN IMMEDIATE")
        waiting = asyncio.ensure_future(records.take(PHONE, bodies(1, 2)))
        await asyncio.sleep(0.1)
        done_early = waiting.done()
        other.execute("COMMIT")
        other.close()
        taken = await waiting
        await records.close()
        return done_early, taken

    assert (False, 2) == asyncio.run(run())


@pytest.mark.parametrize("left", ["push.key", "photos/ab/abcd"])
def test_a_shop_without_its_records_is_not_a_new_shop(tmp_path, left):
    (tmp_path / left).parent.mkdir(parents=True, exist_ok=True)
    (tmp_path / left).write_bytes(b"it is there")

    with pytest.raises(Damaged, match=rf"is gone, but {left.split('/')[0]} is there. Move the data folder away"):
        prepare(tmp_path)

    assert not (tmp_path / FILE_NAME).exists()

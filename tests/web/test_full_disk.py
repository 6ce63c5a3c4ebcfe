"""The real server on a full disk: it starts, shows what is recorded and rings, and loses nothing.

How the disk is filled: full_disk.py.
"""

import hashlib
import io
import json
import signal
import subprocess
import time

import httpx
import pytest
from alerts.bell_script import writer, written
from alerts.sample import CLAMPED, STARTED
from alerts.watched_shop import OTHER, PHONE, body, wait_until
from benchbell.bench.happenings import Noted
from benchbell.commands.serve import AFTER_ROOM
from benchbell.durations import HOUR_MS, MINUTE_MS, SECOND_MS
from benchbell.store.connection import connect
from benchbell.store.database import FILE_NAME, prepare
from benchbell.store.sqlite_records import ask_records
from full_disk import fill_disk_of, make_room_for, starting_full
from PIL import Image
from ports import free_port
from web.running import PROGRAM, command, serving, serving_here

FULL = "is full. Make room, then try again; what waits on the phones stays there."


def now_ms():
    return time.time_ns() // 1_000_000


def sync(url, *happened):
    """One round trip; told: number, moment in ms and what happened, each."""
    happenings = b",".join(body(n, ms, what) for n, ms, what in happened)
    content = b'{"page":2,"after":0,"happenings":[%s]}' % happenings
    return httpx.post(f"{url}/sync", content=content, headers={"Device": PHONE}, timeout=30)


def clamped(url, ms):
    """A glue-up went into clamps at that moment: it is to be pared 20 minutes and unclamped an hour later."""
    assert 200 == sync(url, (1, ms - 1, STARTED), (2, ms, CLAMPED)).status_code


def bell(file) -> str:
    return " ".join(f"'{word}'" for word in writer(file))


def rings(file):
    return [variables["BENCHBELL_RING"] for _, variables in written(file)]


def photo() -> bytes:
    made = io.BytesIO()
    Image.new("RGB", (8, 8), (180, 120, 60)).save(made, "PNG")
    return made.getvalue()


def put_photo(url):
    return httpx.put(f"{url}/photos/{hashlib.sha256(photo()).hexdigest()}", content=photo(), timeout=30)


def said(answer):
    """Status, kind and sentences of a refusal."""
    error = answer.json()["error"]
    return answer.status_code, error["kind"], f"{error['what']} {error['next_step']}"


def rings_of_another_build(url, file, count):
    """Every ring so far, once the two of a build that was told only now have rung, and `count` all in all.

    The bell rings what it has not rung in one go, oldest first, so a ring that is repeated comes before them.
    """
    started, other = now_ms() - HOUR_MS, "01970000-0000-7000-8000-0000000000ff"
    bodies = ((body(n, started, what, other, OTHER)) for n, what in enumerate((STARTED, CLAMPED), 1))
    content = b'{"page":2,"after":0,"happenings":[%s]}' % b",".join(bodies)
    assert 200 == httpx.post(f"{url}/sync", content=content, headers={"Device": OTHER}, timeout=30).status_code
    wait_until(lambda: len(rings(file)) >= count)
    return rings(file)


@pytest.mark.parametrize("ended", ["stopped", "killed"])
def test_it_starts_shows_what_is_recorded_and_rings_once(tmp_path, ended):
    port, rung = free_port(), tmp_path / "rung"
    url = f"http://127.0.0.1:{port}"
    words = ("--local", "--demo", "--port", port, "--bell", bell(rung))
    with serving_here(tmp_path) as (first, process):
        clamped(first, now_ms() - HOUR_MS)
        feed = httpx.put(f"{first}/alerts/calendar", headers={"Device": PHONE}, timeout=20).json()["path"]
        process.send_signal(signal.SIGTERM if ended == "stopped" else signal.SIGKILL)
        process.wait(timeout=15)
    with serving(tmp_path, *words, url=url, before=starting_full) as process:
        page, here = httpx.get(url, timeout=20), sync(url)
        wait_until(lambda: len(rings(rung)) == 2)
        calendar = httpx.get(f"{url}{feed}", timeout=20)
        refused, unkept = sync(url, (3, now_ms(), Noted("more"))), put_photo(url)
        make_room_for(process.pid)
        taken, photo_taken = sync(url, (3, now_ms(), Noted("more"))), put_photo(url)
    with serving(tmp_path, *words, url=url):
        again = rings_of_another_build(url, rung, 4)

    assert (200, 200, [1, 2]) == (page.status_code, here.status_code, [h["n"] for h in here.json()["happenings"]])
    assert ["pare", "off", "pare", "off"] == again
    assert "BEGIN:VEVENT" in calendar.text
    for answer in (refused, unkept):
        assert (507, "disk-full") == said(answer)[:2]
        assert said(answer)[2].endswith(FULL)
    assert 3 == taken.json()["taken_to"]
    assert 200 == photo_taken.status_code


def test_a_disk_that_fills_while_the_server_runs_silences_nothing(tmp_path):
    rung = tmp_path / "rung"
    with serving_here(tmp_path, words=("--bell", bell(rung))) as (url, process):
        clamped(url, now_ms() - 20 * MINUTE_MS + 2 * SECOND_MS)
        fill_disk_of(process.pid)
        early = rings(rung)
        wait_until(lambda: rings(rung) == ["pare"])
        # The clock of the second one begins on the full disk: nobody may record it, so the first one is all there is.
        refused = sync(url, (3, now_ms(), CLAMPED))
        make_room_for(process.pid)
        again = rings_of_another_build(url, rung, 3)

    assert [] == early
    assert (507, "disk-full") == said(refused)[:2]
    assert ["pare", "pare", "off"] == again


def test_a_bell_that_always_fails_does_not_ring_for_ever(tmp_path):
    port, rung = free_port(), tmp_path / "rung"
    url = f"http://127.0.0.1:{port}"
    with serving_here(tmp_path) as (first, _):
        clamped(first, now_ms() - HOUR_MS)
    failing = " ".join(f"'{word}'" for word in writer(rung, fails=True))
    with serving(tmp_path, "--local", "--port", port, "--bell", failing, url=url, before=starting_full) as process:
        wait_until(lambda: len(rings(rung)) == 2)
        make_room_for(process.pid)
        again = rings_of_another_build(url, rung, 4)

    assert ["pare", "off", "pare", "off"] == again


def test_a_paired_phone_reads_on_a_full_disk_though_nobody_can_note_that_it_was_seen(tmp_path):
    data, port = tmp_path / "data", free_port()
    url = f"http://127.0.0.1:{port}"
    prepare(data)
    token = json.loads(command("pair", "--token", "phone", "--json", "--data", data).stdout)["token"]
    db = connect(data / FILE_NAME)
    db.execute("UPDATE device SET seen_ms = 0")
    db.close()
    with serving(tmp_path, "--proxied", "--port", port, url=url, before=starting_full):
        device = httpx.get(f"{url}/device", headers={"Authorization": f"Bearer {token}"}, timeout=20)
        key = httpx.get(f"{url}/alerts/key", headers={"Authorization": f"Bearer {token}"}, timeout=20)

    assert (200, "phone") == (device.status_code, device.json()["name"])
    assert (507, "disk-full") == said(key)[:2]


def test_what_it_cannot_do_is_said_where_it_was_started(tmp_path):
    data, port = tmp_path / "data", free_port()
    ask_records(data, lambda records: records.newest_position())
    words = ["serve", "--local", "--demo", "--port", str(port), "--data", str(data)]
    process = subprocess.Popen(
        [*PROGRAM, *words], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, preexec_fn=starting_full
    )
    lines = [process.stdout.readline()]
    while AFTER_ROOM not in lines[-1]:
        lines.append(process.stdout.readline())
    process.kill()
    output = "".join(lines) + process.communicate(timeout=15)[0]

    assert f"The demo build cannot be started: The disk with {data / FILE_NAME} is full." in output
    assert f"\nBenchbell: http://127.0.0.1:{port}/\n" in output
    assert (
        f"\nThe disk with {data} is full. Benchbell shows what is recorded and rings, but takes nothing new." in output
    )
    assert "Traceback" not in output

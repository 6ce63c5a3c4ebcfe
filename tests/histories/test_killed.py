"""The server killed in the middle of its work, again and again: nothing that it answered is lost.

`KILLS=50 pytest tests/histories/test_killed.py` kills it as often as it says.
"""

import json
import os
import random
import signal
import threading
import time

import httpx
from benchbell.store.sqlite_records import ask_records
from histories.phone import Cut, Phone
from ports import free_port
from scene import kept
from web.running import serving

KILLS = int(os.environ.get("KILLS", "2"))
DEVICES = [letter * 16 for letter in "abcd"]
TAKEN_BETWEEN = (8, 60)
"""How many happenings the server takes before it is killed: counted, not timed, for a busy machine is slow."""


def asker(client):
    """How a phone asks the server that runs just now; Cut when it dies meanwhile."""

    def ask(device, batch, position, log_epoch):
        body = b'{"page":2,"log_epoch":"%s","after":%d,"happenings":[%s]}' % (
            log_epoch.encode(),
            position,
            b",".join(batch),
        )
        try:
            answer = client.post("/sync", content=body, headers={"Device": device}).json()
        except httpx.TransportError as error:
            raise Cut from error
        if "error" in answer:
            return answer
        return {**answer, "happenings": [json.dumps(h).encode() for h in answer["happenings"]]}

    return ask


def work(phone, url, taken):
    """Record and sync until the server is gone; note what it called taken."""
    with httpx.Client(base_url=url, timeout=20) as client:
        ask = asker(client)
        try:
            while True:
                phone.record(f"{phone.device[:8]}-{phone.n:04x}-7000-8000-{phone.n:012x}", phone.n)
                before = set(phone.waits.values())
                phone.sync(ask)
                taken |= before - set(phone.waits.values())
        except Cut:
            return


def wait_until_taken(taken, count):
    """Wait until the phones were told of so many."""
    until = time.monotonic() + 60
    while len(taken) < count:
        assert time.monotonic() < until, f"{len(taken)} taken, {count} wanted"
        time.sleep(0.002)


def test_what_was_answered_is_there_however_often_the_server_is_killed(tmp_path):
    phones, taken, chance = [Phone(device) for device in DEVICES], set(), random.Random(7)
    for _ in range(KILLS):
        port = free_port()
        url = f"http://127.0.0.1:{port}"
        with serving(tmp_path, "--local", "--port", port, url=url) as process:
            threads = [threading.Thread(target=work, args=(phone, url, taken)) for phone in phones]
            for thread in threads:
                thread.start()
            wait_until_taken(taken, len(taken) + chance.randint(*TAKEN_BETWEEN))
            process.send_signal(signal.SIGKILL)
            for thread in threads:
                thread.join()

    known = set(ask_records(tmp_path / "data", kept))

    assert len(taken) >= TAKEN_BETWEEN[0] * KILLS
    assert taken <= known
    for phone in phones:
        numbers = [json.loads(body)["n"] for body in known if json.loads(body)["at"]["device"] == phone.device]
        assert sorted(numbers) == list(range(1, len(numbers) + 1))

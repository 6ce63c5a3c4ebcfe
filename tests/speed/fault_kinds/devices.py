"""A revoked phone that sends junk beside honest work, and a picture that claims to be far larger than it is."""

import hashlib
import struct
import threading
import time
import zlib
from pathlib import Path

import httpx
from speed.fault_kinds.judgement import Outcome
from speed.fault_kinds.server import run
from speed.fault_kinds.trial import Trial, for_paired, local, paired
from speed.fault_kinds.witness import Witness, asked

JUNK = (b"5", b'{"id":7}', b'{"id":"x","n":-1}', b'"' + b"y" * 1000 + b'"')
NUMBERS = b",".join([b"0"] * 900_000)
HUNG_UP_S = 15


def revoked_junk(folder: Path) -> Outcome:
    """A revoked phone sends junk before and after honest entries. Accepting takes the honest ones into the log.

    Its open stream ends when it is revoked on the command line, and 20 MB of small numbers from it hold up nobody.
    """
    with for_paired(folder) as trial:
        lost_phone = paired(trial.server, "lost phone")
        lost_phone.build = trial.phone.build
        lost_phone.deliver()
        hung_up = threading.Event()
        listening = threading.Thread(target=listen, args=(lost_phone, hung_up), daemon=True)
        listening.start()
        time.sleep(0.5)
        revoked = run("devices", "revoke", "lost phone", "--data", trial.server.data)
        trial.expect(revoked.returncode == 0, f"revoking failed: {revoked.stderr[:200]}")
        for junk in JUNK:
            send_revoked(trial, lost_phone, junk)
            trial.tries += 1
        trial.expect(hung_up.wait(HUNG_UP_S), f"{HUNG_UP_S} s after revoking its stream is still open")
        flood_with_numbers(trial, lost_phone)
        accepted = run("devices", "accept", "lost phone", "--data", trial.server.data)
        trial.expect(accepted.returncode == 0, f"honest work is not accepted beside junk: {accepted.stderr[:200]}")
        trial.phones.append(lost_phone)
        trial.recover()
        return trial.judged()


def listen(phone: Witness, hung_up: threading.Event) -> None:
    """Read the phone's stream of nudges until the server ends it."""
    try:
        with phone.client.stream("GET", "/live", timeout=60) as answer:
            for _ in answer.iter_bytes():
                pass
    except httpx.TransportError:
        pass
    hung_up.set()


def send_revoked(trial: Trial, phone: Witness, junk: bytes) -> None:
    """Junk in a batch of its own, an honest entry after it. What the answer says is kept counts as acknowledged."""
    phone.client.post("/sync", content=asked([junk], 0, ""))
    id = phone.note()
    answer = phone.client.post("/sync", content=asked([phone.log[id]], 0, ""))
    said = answer.json()["error"]
    trial.expect(said["kind"] == "revoked", f"a revoked phone's honest entry is answered {said['kind']}")
    if said["kind"] == "revoked" and "kept for review" in said["what"]:
        phone.acknowledged[id] = {"kind": "noted", "text": "a note"}
    phone.waits.clear()


def flood_with_numbers(trial: Trial, phone: Witness) -> None:
    """Ten batches of nearly 2 MB of numbers from the revoked phone, while the owner looks at the devices and syncs."""
    sender = threading.Thread(target=send_numbers, args=(phone,))
    sender.start()
    slowest = 0.0
    while sender.is_alive():
        began = time.monotonic()
        trial.phone.note()
        trial.phone.deliver()
        trial.phone.client.get("/devices")
        slowest = max(slowest, time.monotonic() - began)
        time.sleep(0.2)  # a device may ask 20 times a second
    sender.join()
    trial.expect(slowest < 3, f"numbers from a revoked phone held up the owner for {slowest:.1f} s")


def send_numbers(phone: Witness) -> None:
    """The ten batches, each other than the last."""
    for n in range(10):
        try:
            phone.client.post("/sync", content=asked([b"%d" % n, NUMBERS], 0, ""), timeout=60)
        except httpx.TransportError:
            continue


def decompression_bomb(folder: Path) -> Outcome:
    """A PNG of some kB that claims 100,000 by 100,000 pixels. It is refused, or the log's PDF is made without it."""
    body = bomb(100_000)
    name = hashlib.sha256(body).hexdigest()
    with local(folder) as trial:
        answer = trial.phone.client.put(f"/photos/{name}", content=body)
        trial.expect(answer.status_code < 500, f"PUT /photos answers {answer.status_code}")
        trial.phone.tell({"kind": "photo", "sha256": name, "type": "image/png", "bytes": len(body), "text": ""})
        trial.phone.deliver()
        pdf = trial.phone.client.get(f"/builds/{trial.phone.build}/log.pdf", timeout=60)
        trial.expect(pdf.status_code == 200, f"the log's PDF answers {pdf.status_code}")
        trial.tries += 1
        trial.recover()
        return trial.judged()


def bomb(side: int) -> bytes:
    """A PNG whose header claims side by side pixels of one bit, its rows all zero as far as 10 MB of them go."""
    header = struct.pack("!IIBBBBB", side, side, 1, 0, 0, 0, 0)
    rows = zlib.compress(bytes(10_000_000), 9)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


def chunk(name: bytes, content: bytes) -> bytes:
    """One chunk of a PNG (W3C PNG, third edition, 5.3)."""
    return struct.pack("!I", len(content)) + name + content + struct.pack("!I", zlib.crc32(name + content))

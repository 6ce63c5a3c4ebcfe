"""What attacks from the network cost a shop's server, one `name: value` a line.

strangers_headers_mb: how much more memory the server ever held while one connection sent 400 MB of headers, in MB.
strangers_unread_mb: the same for 100,000 requests sent on one connection without reading an answer.
strangers_body_taken_mb: how much of an endless body was taken after the request had been refused, in MB; the kernel's
buffers, which the server need not read, are in it.
strangers_owner_in: requests of a paired program answered, of 10, while 999 connections drip a refused body.
strangers_owner_worst_ms: the longest of these took.
strangers_dripping_left: how many of the 999 are open then.
strangers_numbers_refused_ms: a revoked device's 2 MB of small numbers, until they are refused.
strangers_reader_worst_ms: the longest wait of a paired program while the list of devices is read, after ten such
requests.
strangers_codes_per_s: wrong pairing codes answered per second, one after another on one connection.
strangers_codes_pair: whether a code issued before 200 wrong ones from as many addresses pairs, and one issued after
them, 1 or 0.
"""

import datetime
import os
import sys
import tempfile
import threading
from pathlib import Path
from time import perf_counter

ROOT = Path(__file__).parents[2]
sys.path[:1] = [str(ROOT / "tests"), str(ROOT / "backend")]  # not this folder: its names are packages' there
os.environ["PYTHONPATH"] = os.pathsep.join(sys.path[:2])

import httpx
from benchbell.settings import now_ms
from benchbell.store.sqlite_records import ask_records
from benchbell.web.certificate import certify
from ports import free_port
from web.machine import NAMES
from web.running import serving
from web.strangers import dripping, memory_mb, poured, still_open, unverified

MB = 1_000_000
START = b"GET /device HTTP/1.1\r\nHost: localhost\r\n"
LINES = b"".join(b"X-%05d: %s\r\n" % (n, b"y" * 90) for n in range(10_000))
REFUSED = b"POST /sync HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\n"
REQUESTS = b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n" * 10_000
NUMBERS = b'{"page":2,"after":0,"happenings":[' + b",".join([b"0"] * 990_000) + b"]}"


def paired(data: Path, name: str) -> dict[str, str]:
    """The headers of a newly paired program."""
    made = ask_records(data, lambda records: records.add_device(name, now_ms(), os.urandom))
    return {"Authorization": f"Bearer {made.token}"}


def fresh_code(data: Path) -> str:
    """A new pairing code."""
    return ask_records(data, lambda records: records.new_pairing_code(now_ms(), os.urandom))


def timed(client: httpx.Client, path: str) -> float:
    """How long a GET takes, in ms; infinity when it is not answered with 200."""
    began = perf_counter()
    try:
        answer = client.get(path)
    except httpx.TransportError:
        return float("inf")
    return (perf_counter() - began) * 1000 if answer.status_code == 200 else float("inf")


def attack_connections(process, port: int, tls, client: httpx.Client) -> dict[str, float]:
    """Headers, unread answers, bodies after a refusal, and 999 connections that drip."""
    figures: dict[str, float] = {}
    for name, start, piece, most in (
        ("strangers_headers_mb", START, LINES, 400 * MB),
        ("strangers_unread_mb", b"", REQUESTS, 10 * len(REQUESTS)),
    ):
        before = memory_mb(process)
        poured(port, start, piece, most, tls)
        figures[name] = memory_mb(process) - before
    taken, _ = poured(port, REFUSED, b"10000\r\n" + b"z" * 65536 + b"\r\n", 1000 * MB, tls)
    figures["strangers_body_taken_mb"] = taken / MB
    with dripping(port, 999, tls) as held:
        waits = [timed(client, "/device") for _ in range(10)]
        figures["strangers_dripping_left"] = still_open(held)
    figures["strangers_owner_in"] = sum(wait < float("inf") for wait in waits)
    figures["strangers_owner_worst_ms"] = max(waits)
    return figures


def attack_quarantine(data: Path, client: httpx.Client) -> dict[str, float]:
    """A revoked device that sends numbers."""
    thief = paired(data, "thief")
    ask_records(data, lambda records: records.revoke("thief", now_ms()))
    began = perf_counter()
    for _ in range(10):
        client.post("/sync", content=NUMBERS, headers=thief)
    each = (perf_counter() - began) * 100
    reading = threading.Thread(target=timed, args=(client, "/devices"))
    reading.start()
    waits = [timed(client, "/device")]
    while reading.is_alive():
        waits.append(timed(client, "/device"))
    return {"strangers_numbers_refused_ms": each, "strangers_reader_worst_ms": max(waits)}


def attack_pairing(folder: Path) -> dict[str, float]:
    """Wrong codes from many addresses, as a proxy tells them, then a fresh one."""
    port = free_port()
    url = f"http://127.0.0.1:{port}"
    with serving(folder, "--proxied", "--port", port, url=url), httpx.Client(base_url=url, timeout=60) as client:

        def status(code: str, address: str) -> int:
            request = {"code": code, "name": "phone"}
            return client.post("/pair", json=request, headers={"X-Forwarded-For": address}).status_code

        data = folder / "data"
        codes = [fresh_code(data)]
        began = perf_counter()
        for n in range(200):
            status("00000000", f"fe80::{n:x}")
        per_s = 200 / (perf_counter() - began)
        codes.append(fresh_code(data))
        pairs = all(status(code, "fe80::ff") == 200 for code in codes)
    return {"strangers_codes_per_s": per_s, "strangers_codes_pair": pairs}


def main() -> None:
    """Attack a server of each kind, and print the figures."""
    with tempfile.TemporaryDirectory() as temporary:
        folder, port, tls = Path(temporary), free_port(), unverified()
        made = certify(folder / "tls", NAMES, ("127.0.0.1",), datetime.datetime.now(datetime.UTC))
        words = ("--cert", made.certificate, "--key", made.key, "--port", port)
        url = f"https://127.0.0.1:{port}"
        with serving(folder, *words, url=url, verify=tls) as process:
            owner = paired(folder / "data", "owner")
            with httpx.Client(base_url=url, headers=owner, verify=tls, timeout=60) as client:
                figures = attack_connections(process, port, tls, client) | attack_quarantine(folder / "data", client)
        figures |= attack_pairing(folder / "proxied")
    for name, value in figures.items():
        print(f"{name}: {value:.4g}")


if __name__ == "__main__":
    main()

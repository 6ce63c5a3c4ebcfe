"""Strangers on the network: they guess codes, send headers and bodies without end, and hold connections.

The owner's paired phone comes from another address. It is served meanwhile, and its clocks ring.
"""

import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import httpx
from histories.phone import Cut
from speed.fault_kinds.judgement import Outcome
from speed.fault_kinds.server import Server, run
from speed.fault_kinds.trial import Trial, for_paired
from web.strangers import keep_little, taken_by_server

STRANGER = "127.0.0.2"
WRONG_CODES = 30
FLOODS, FLOOD_BYTES = 60, 4_000_000
DRIPPING, POURING = 1050, 4
MOST_SWALLOWED = 18_000_000
"""Bytes of a refused body that the server may read from one stranger: the 16 MB that it drops so that a slow client can
read its answer (web/protocol.py), the last piece that it reads, and what the measure may be out.
"""

HANGS_UP_S = 60
"""Within this time it must have hung up on whoever goes on sending."""

MOST_MORE_BYTES = 64_000_000
"""What all floods together may cost the server in memory."""

SERVED_S = 10
"""The owner's request must be answered within this time, also on a busy machine."""

HEAD = b"POST /sync HTTP/1.1\r\nHost: bench\r\n"


def wrong_codes(folder: Path) -> Outcome:
    """Strangers at many addresses try wrong codes. A code that is shown afterwards pairs the owner's next phone."""
    with for_paired(folder) as trial, httpx.Client(base_url=trial.server.url, timeout=20) as client:
        for n in range(WRONG_CODES):
            client.post("/pair", json={"code": f"WRONG{n:03}", "name": "x"}, headers={"X-Forwarded-For": f"10.0.0.{n}"})
            trial.tries += 1
        code = run("pair", "--json", "--data", trial.server.data).stdout.partition('"code":')[2].split('"')[1]
        owner = {"X-Forwarded-For": "10.1.0.1"}
        answer = client.post("/pair", json={"code": code, "name": "second phone"}, headers=owner)
        trial.expect(answer.status_code == 200, f"a right code is refused after wrong ones: {answer.text[:120]}")
        trial.recover()
        return trial.judged()


def header_floods(folder: Path) -> Outcome:
    """Many connections send headers without end. The server grows little, and serves the owner."""
    return besieged(folder, FLOODS, flood_headers)


def flood_headers(connection: socket.socket, over: threading.Event) -> None:
    """Headers until the server hangs up, at most FLOOD_BYTES; then hold the connection."""
    connection.sendall(HEAD)
    line = b"X-" + b"a" * 60 + b": " + b"b" * 934 + b"\r\n"
    for _ in range(FLOOD_BYTES // len(line)):
        connection.sendall(line)
    over.wait()


def dripping_bodies(folder: Path) -> Outcome:
    """More connections than the server takes, each dripping a body after it was refused. The owner still gets in."""
    return besieged(folder, DRIPPING, drip)


def drip(connection: socket.socket, over: threading.Event) -> None:
    """A byte a second of a body that was refused."""
    connection.sendall(HEAD + b"Content-Length: 100000\r\n\r\n")
    while not over.wait(1):
        connection.sendall(b"x")


def chunks_after_refusal(folder: Path) -> Outcome:
    """Chunked bodies that go on and on after the refusal. The server hangs up instead of reading them."""
    swallowed: list[int] = []

    def attack(connection: socket.socket, over: threading.Event) -> None:
        swallowed.append(pour(connection))
        over.wait()

    def judge(trial: Trial) -> None:
        trial.expect(len(swallowed) == POURING, "a stranger could not pour, or nobody hung up on it")
        most = max(swallowed, default=0)
        trial.expect(most < MOST_SWALLOWED, f"{most / 1e6:.0f} MB of a refused body were read from one stranger")

    return besieged(folder, POURING, attack, judge)


def pour(connection: socket.socket) -> int:
    """Send a body in chunks until the server hangs up, or has read too much; gives how many bytes it read at most.

    Measured now and then: a server that has stopped reading hangs up while its kernel still holds megabytes. Raises
    TimeoutError when it neither hangs up nor reads on.
    """
    keep_little(connection)
    chunk = b"80000\r\n" + b"x" * 0x80000 + b"\r\n"
    sent, most, until = 0, 0, time.monotonic() + HANGS_UP_S
    with suppress(ConnectionError):
        connection.sendall(HEAD + b"Transfer-Encoding: chunked\r\n\r\n")
        while most < MOST_SWALLOWED:
            connection.sendall(chunk)
            sent += len(chunk)
            most = max(most, taken_by_server(connection, sent))
            if time.monotonic() > until:
                raise TimeoutError
    return most


def besieged(
    folder: Path,
    count: int,
    attack: Callable[[socket.socket, threading.Event], None],
    judge: Callable[[Trial], None] = lambda trial: None,
) -> Outcome:
    """So many strangers attack at once, while the owner's phone records, and its clock comes due."""
    with for_paired(folder) as trial:
        before = peak_bytes(trial.server)
        trial.phone.clamp()
        with siege(trial.server, count, attack):
            for _ in range(3):
                serve_owner(trial)
                time.sleep(1)
            trial.ring_now()
        trial.tries += count
        grown = peak_bytes(trial.server) - before
        trial.expect(grown < MOST_MORE_BYTES, f"the server grew by {grown / 1e6:.0f} MB")
        judge(trial)
        trial.recover()
        return trial.judged()


@contextmanager
def siege(server: Server, count: int, attack: Callable[[socket.socket, threading.Event], None]) -> Iterator[None]:
    """The strangers are at it while the block runs, from the moment on at which all of them have tried to connect."""
    over, knocked = threading.Event(), threading.Semaphore(0)

    def stranger() -> None:
        with suppress(OSError):  # the server hung up, or did not let it in
            try:
                connection = from_stranger(server)
            finally:
                knocked.release()
            with connection:
                attack(connection, over)

    threads = [threading.Thread(target=stranger) for _ in range(count)]
    for thread in threads:
        thread.start()
    try:
        for _ in threads:
            knocked.acquire()
        yield
    finally:
        over.set()
        for thread in threads:
            thread.join()


def from_stranger(server: Server) -> socket.socket:
    """A connection from the stranger's address. Raises OSError."""
    return socket.create_connection(("127.0.0.1", server.port), timeout=20, source_address=(STRANGER, 0))


def serve_owner(trial: Trial) -> None:
    """The owner's phone, with a new connection, gets an entry in."""
    trial.phone.client.close()
    trial.phone.client = httpx.Client(base_url=trial.server.url, timeout=60, headers=trial.phone.client.headers)
    trial.phone.note()
    began = time.monotonic()
    try:
        trial.phone.deliver(SERVED_S)
    except Cut as why:
        took = time.monotonic() - began
        trial.broken.append(f"the owner was shut out for {took:.0f} s: {why or 'no answer'}")


def peak_bytes(server: Server) -> int:
    """The most memory that the server ever held, in bytes (proc(5), VmHWM)."""
    status = Path(f"/proc/{server.running_process().pid}/status").read_text(encoding="ascii")
    return 1024 * int(status.partition("VmHWM:")[2].split()[0])

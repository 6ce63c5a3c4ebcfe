"""Sync figures of the server, one `name: value` a line. What is sent is of the kinds a day at the bench records.

sync_batch_ratio: happenings taken per second over HTTP, in batches of 100 by four phones at once that also fetch
what the others sent, over a bare sqlite3 `executemany` of the same rows into the same table with the same pragmas
and one commit a batch; both by turns in one run. sync_batch_per_s: the former alone.
sync_long_ratio: the same for one turn five times as long. In a shorter one the alarm clock waits for the end and
reads then what came; in this one it has to read all the while.
sync_one_p50_ms, sync_one_p99_ms: a round trip with one happening on loopback, one phone.
server_start_20k_ms: opening records of 20,000 happenings in 20 builds, one of them open, and knowing what rings;
server_start_20k_unkept_ms: the same with nothing kept of what is over.
"""

import asyncio
import socket
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from statistics import median, quantiles
from time import perf_counter, sleep

ROOT = Path(__file__).parents[2]
sys.path[:1] = [str(ROOT / "tests"), str(ROOT / "backend")]  # not this folder: its names are packages' there

import msgspec
from benchbell.alerts.clock_tracker import ClockTracker
from benchbell.bench.encoding import read_envelope
from benchbell.store.connection import connect
from benchbell.store.database import FILE_NAME, prepare
from benchbell.store.records import Records
from benchbell.store.sqlite_records import ask_records, open_records
from scene import id7
from speed.long_build import long_history, long_sheet
from web.running import serving_here

BUILDS, LONG = 20, 1000
PHONES = ("a" * 16, "b" * 16, "c" * 16, "d" * 16)
BATCH, BATCHES, TURNS, LONG_TURN, ONES = 100, 40, 5, 200, 1000

SETTLE_S = 1.5
"""After a turn the server reads what came; the bare rows do not have to share the machine with that."""

WORK: tuple[dict[str, object], ...] = (
    {"kind": "began", "operation": "A/mortise"},
    *({"kind": "ticked", "operation": "A/mortise", "part": f"A/leg-{n}"} for n in range(1, 5)),
    {"kind": "finished", "operation": "A/mortise", "reason": ""},
    {"kind": "measured", "size": "clear", "piece": "A", "value": 301.5},
    {"kind": "noted", "text": "Leg 3 has a knot at the upper mortise: turned it inwards."},
)
"""In turn. One operation with its parts, a size, a note."""


class Connection:
    """One phone's connection: whole requests out, whole answers in, with nothing of a library's in between."""

    def __init__(self, url: str, device: str) -> None:
        host, _, port = url.removeprefix("http://").partition(":")
        self.socket = socket.create_connection((host, int(port)))
        self.socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self.reader = self.socket.makefile("rb", 1 << 20)
        self.head = f"POST /sync HTTP/1.1\r\nHost: {host}:{port}\r\nDevice: {device}\r\nContent-Length: ".encode()
        self.after = 0

    def sync(self, happenings: bytes, last: int) -> None:
        """One round trip; `last` must be taken."""
        asked = b'{"page":2,"after":%d,"happenings":[%s]}' % (self.after, happenings)
        self.socket.sendall(self.head + b"%d\r\n\r\n" % len(asked) + asked)
        answer = self.answer()
        if not answer.startswith(b'{"taken_to":%d,' % last):
            raise SystemExit(f"not taken: {answer[:200]!r}")
        self.after = int(answer.rpartition(b'"position":')[2].partition(b",")[0])

    def answer(self) -> bytes:
        """The body of the next answer."""
        length = 0
        while (line := self.reader.readline()) != b"\r\n":
            name, _, value = line.partition(b":")
            length = int(value) if name.lower() == b"content-length" else length
        return self.reader.read(length)


def entry(n: int, device: str) -> bytes:
    """A phone's n-th happening, as the page writes it."""
    at = {"ms": 1_700_000_000_000 + n, "counter": 0, "device": device}
    entry = {"id": id7(n, device), "n": n, "at": at, "build": "stand", "about": [], "what": WORK[n % len(WORK)]}
    return msgspec.json.encode({**entry, "when": {"ms": at["ms"], "base": 1}})


def batches(device: str, first: int, many: int) -> list[tuple[bytes, int]]:
    """A turn's batches of one phone, and the last number of each."""
    starts = range(first, first + BATCH * many, BATCH)
    return [(b",".join(entry(n, device) for n in range(n0, n0 + BATCH)), n0 + BATCH - 1) for n0 in starts]


def turn_over_http(connections: dict[str, Connection], work: dict[str, list[tuple[bytes, int]]]) -> float:
    """Seconds until all four phones have sent all of theirs."""

    def phone(device: str) -> None:
        for happenings, last in work[device]:
            connections[device].sync(happenings, last)

    threads = [threading.Thread(target=phone, args=(device,)) for device in work]
    began = perf_counter()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return perf_counter() - began


def turn_bare(file: Path, rows: list[list[tuple[object, ...]]]) -> float:
    """Seconds for the same rows, one commit a batch."""
    query = "INSERT INTO happening (device, n, id, build, kind, body) VALUES (?, ?, ?, ?, ?, ?)"
    with closing(connect(file)) as db:
        began = perf_counter()
        for batch in rows:
            db.execute("BEGIN IMMEDIATE")
            db.executemany(query, batch)
            db.execute("COMMIT")
        return perf_counter() - began


def rows_of(device: str, first: int, many: int) -> Iterator[list[tuple[object, ...]]]:
    """The same batches as rows."""
    for n0 in range(first, first + BATCH * many, BATCH):
        raws = [entry(n, device) for n in range(n0, n0 + BATCH)]
        yield [(device, h.n, h.id, h.build, h.what.kind, raw) for raw in raws for h in [read_envelope(raw)]]


@contextmanager
def server() -> Iterator[tuple[str, Path]]:
    """The program, and a second data folder on the same disk for the bare rows."""
    with tempfile.TemporaryDirectory(dir=ROOT) as folder, serving_here(Path(folder) / "served") as (url, _):
        yield url, prepare(Path(folder) / "bare")


def history_of(build: int) -> Iterator[bytes]:
    """A build's happenings; only the first is still open."""
    sheet = long_sheet()
    started = {"kind": "started", "name": f"Long {build}", "sheet": sheet, "recipe": "", "codes": {}}
    end = {"kind": "closed", "closed": bool(build)}
    for n, one in enumerate(long_history(sheet, LONG), 1 + build * LONG):
        first, last = n == 1 + build * LONG, n == (build + 1) * LONG
        what = started if first else end if last else one["what"]
        yield msgspec.json.encode({**one, "id": id7(n), "n": n, "build": f"long-{build}", "what": what})


async def start(folder: Path) -> float:
    """Milliseconds until the records are open and all rings known."""
    began = perf_counter()
    records = await open_records(folder)
    await ClockTracker(records, lambda: 1_800_000_000_000).refresh()
    took = 1000 * (perf_counter() - began)
    await records.close()
    return took


async def fill(records: Records) -> None:
    """Record the builds."""
    for build in range(BUILDS):
        await records.take(PHONES[0], list(history_of(build)))


def forget_finished(data: Path) -> None:
    """Empty the finished cache."""
    with closing(connect(data / FILE_NAME)) as db:
        db.execute("DELETE FROM finished_cache")


def print_start() -> None:
    """Print how long a start takes, with and without what was kept."""
    with tempfile.TemporaryDirectory(dir=ROOT) as folder:
        data = Path(folder)
        ask_records(data, fill)
        kept, unkept = [], []
        for _ in range(TURNS):
            forget_finished(data)
            unkept.append(asyncio.run(start(data)))
            kept.append(asyncio.run(start(data)))
        print(f"server_start_20k_ms: {median(kept):.0f}")
        print(f"server_start_20k_unkept_ms: {median(unkept):.0f}")


def main() -> None:
    """Print the figures."""
    with server() as (url, bare):
        connections = {device: Connection(url, device) for device in PHONES}
        over_http, plain, first = [], [], 1
        for many in (*[BATCHES] * TURNS, LONG_TURN):
            work = {device: batches(device, first, many) for device in PHONES}
            rows = [batch for device in PHONES for batch in rows_of(device, first, many)]
            first += BATCH * many
            over_http.append(turn_over_http(connections, work))
            sleep(SETTLE_S)
            plain.append(turn_bare(bare, rows))
        *turns, long = over_http
        print(f"sync_batch_ratio: {median(plain[:-1]) / median(turns):.2f}")
        print(f"sync_batch_per_s: {len(PHONES) * BATCH * BATCHES / median(turns):.0f}")
        print(f"sync_long_ratio: {plain[-1] / long:.2f}")
        one = Connection(url, "e" * 16)
        one.after = len(PHONES) * first
        times = []
        for n in range(1, ONES + 1):
            began = perf_counter()
            one.sync(entry(n, "e" * 16), n)
            times.append(1000 * (perf_counter() - began))
        print(f"sync_one_p50_ms: {median(times):.2f}")
        print(f"sync_one_p99_ms: {quantiles(times, n=100)[98]:.2f}")
    print_start()


if __name__ == "__main__":
    main()

"""The real program, as its user starts it, on ports that are free."""

import os
import subprocess
import sys
import threading
import time
from contextlib import contextmanager
from pathlib import Path

import httpx
from benchbell.web.app import create_app
from benchbell.web.connections import Connections
from benchbell.web.guarded_server import MainServer
from benchbell.web.servers import config, listen
from ports import free_port
from scene import settings_in

PROGRAM = [sys.executable, "-c", "import sys; from benchbell.cli import main; sys.exit(main())"]


def command(*words, **more) -> subprocess.CompletedProcess:
    """Run one command to its end."""
    return subprocess.run(
        [*PROGRAM, *map(str, words)], capture_output=True, text=True, timeout=60, stdin=subprocess.DEVNULL, **more
    )


@contextmanager
def serving(folder: Path, *words, url: str, start_new_session: bool = False, before=None, **asked):
    """The server while the block runs; `process` and `out` (its output's file) on what is given.

    before: what its process does before the program starts.
    """
    folder.mkdir(parents=True, exist_ok=True)
    out = folder / "out.txt"
    with out.open("w") as opened:
        process = subprocess.Popen(
            [*PROGRAM, "serve", "--data", str(folder / "data"), *map(str, words)],
            stdin=subprocess.DEVNULL,
            stdout=opened,
            stderr=subprocess.STDOUT,
            env={**os.environ, "PYTHONUNBUFFERED": "1"},
            start_new_session=start_new_session,
            preexec_fn=before,
        )
    process.out = out
    try:
        wait_for(process, url, **asked)
        yield process
    finally:
        process.terminate()
        process.wait(timeout=15)


def wait_for(process, url: str, **asked) -> None:
    """Wait until the server answers."""
    until = time.monotonic() + 30
    while True:
        assert process.poll() is None, process.out.read_text()
        try:
            httpx.get(url, timeout=5, **asked)
            return
        except httpx.TransportError:
            assert time.monotonic() < until, process.out.read_text()
            time.sleep(0.05)


@contextmanager
def serving_here(folder: Path, words=(), **more):
    """`benchbell serve --local` and these words; gives the address and the process."""
    port = free_port()
    url = f"http://127.0.0.1:{port}"
    with serving(folder, "--local", "--port", port, *words, url=url, **more) as process:
        yield url, process


@contextmanager
def serving_inside(folder: Path, tls=None, connections=None, **changed):
    """The server in a thread of this program, whose limits a test may change; gives its port.

    tls: the `TlsFiles` of https. changed: settings.
    """
    listening = listen("127.0.0.1", 0)
    served = config(create_app(settings_in(folder, **changed)), tls)
    server = MainServer(served, connections or Connections())
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
    thread.start()
    try:
        yield listening.getsockname()[1]
    finally:
        server.should_exit = True
        thread.join()

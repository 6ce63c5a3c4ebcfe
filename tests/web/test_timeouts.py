"""Clients that send a byte now and then."""

import socket
import threading
import time
from contextlib import contextmanager

import pytest
import uvicorn
from benchbell.web import timeouts
from benchbell.web.app import create_app
from benchbell.web.servers import config, listen
from scene import settings_in


@contextmanager
def served(folder):
    """The server in a thread of this program; gives its port."""
    listening = listen("127.0.0.1", 0)
    server = uvicorn.Server(config(create_app(settings_in(folder, local=True))))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
    thread.start()
    try:
        yield listening.getsockname()[1]
    finally:
        server.should_exit = True
        thread.join()


@pytest.fixture
def port(tmp_path, monkeypatch):
    monkeypatch.setattr(timeouts, "HEADER_SECONDS", 0.3)
    monkeypatch.setattr(timeouts, "BODY_SECONDS", 0.3)
    monkeypatch.setattr(timeouts, "REQUEST_SECONDS", 0.8)
    with served(tmp_path) as port:
        yield port


def drip(port, start: bytes, more: bytes = b"") -> tuple[bytes, float]:
    """Send `start`, then `more` byte by byte; gives what came back and how long the connection lived, in s."""
    with socket.create_connection(("127.0.0.1", port), timeout=10) as connection:
        began = time.monotonic()
        connection.sendall(start)
        threading.Thread(target=bytewise, args=(connection, more), daemon=True).start()
        back = b""
        while piece := receive(connection):
            back += piece
        return back, time.monotonic() - began


def bytewise(connection, more):
    for byte in more:
        time.sleep(0.1)
        try:
            connection.sendall(bytes([byte]))
        except OSError:
            return


def receive(connection) -> bytes:
    try:
        return connection.recv(65536)
    except ConnectionResetError:
        return b""


HEAD = b"POST /sync HTTP/1.1\r\nHost: localhost\r\nDevice: aaaaaaaaaaaaaaaa\r\nContent-Length: 5000\r\n\r\n"


@pytest.mark.parametrize(
    ("start", "more"),
    [
        pytest.param(b"", b"", id="nothing at all"),
        pytest.param(b"GET / HTTP/1.1\r\n", b"X-Slow: " + b"x" * 100, id="headers byte by byte"),
    ],
)
def test_a_request_whose_headers_do_not_come_is_cut_off(port, start, more):
    back, seconds = drip(port, start, more)

    assert b"" == back
    assert seconds < 3


@pytest.mark.parametrize("more", [pytest.param(b"", id="nothing more"), pytest.param(b"x" * 100, id="byte by byte")])
def test_a_body_that_does_not_come_on_is_refused_with_a_sentence(port, more):
    back, seconds = drip(port, HEAD, more)

    assert back.startswith(b"HTTP/1.1 408 ")
    assert b'"what":"The request arrived too slowly.","next_step":"Try again where the network is better."' in back
    assert seconds < 5


def test_a_connection_may_rest_between_requests(port):
    with socket.create_connection(("127.0.0.1", port), timeout=10) as connection:
        for _ in range(2):
            connection.sendall(b"GET /worker.js HTTP/1.1\r\nHost: localhost\r\n\r\n")
            back = connection.recv(65536)
            assert back.startswith(b"HTTP/1.1 200 OK")
            time.sleep(0.5)


def test_a_stream_may_be_quiet_for_longer_than_a_body(port):
    with socket.create_connection(("127.0.0.1", port), timeout=10) as connection:
        connection.sendall(b"GET /live HTTP/1.1\r\nHost: localhost\r\n\r\n")
        back = connection.recv(65536)
        time.sleep(1.2)
        connection.settimeout(0.2)
        with pytest.raises(TimeoutError):
            while connection.recv(65536):
                pass

    assert back.startswith(b"HTTP/1.1 200 OK")

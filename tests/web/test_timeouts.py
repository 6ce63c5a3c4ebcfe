"""Clients that send a byte now and then."""

import socket
import threading
import time

import pytest
from benchbell.web import protocol, servers, timeouts
from benchbell.web.connections import CountedConnection
from scene import page_in
from web.running import serving_inside


@pytest.fixture
def port(tmp_path, monkeypatch):
    monkeypatch.setattr(protocol, "HEADER_SECONDS", 0.3)
    monkeypatch.setattr(timeouts, "BODY_SECONDS", 0.3)
    monkeypatch.setattr(timeouts, "REQUEST_SECONDS", 0.8)
    monkeypatch.setattr(protocol, "LINGER_SECONDS", 0.3)
    monkeypatch.setattr(protocol, "STALL_SECONDS", 0.3)
    with serving_inside(tmp_path, local=True) as port:
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


REFUSED = b"POST /sync HTTP/1.1\r\nHost: elsewhere.example\r\n"
"""Answered before its body is read, because it means another host."""


@pytest.mark.parametrize(
    ("length", "piece"),
    [
        pytest.param(b"Content-Length: 5000\r\n\r\n", b"x", id="byte by byte"),
        pytest.param(b"Content-Length: 5000\r\n\r\n", b"", id="nothing more"),
        pytest.param(b"Transfer-Encoding: chunked\r\n\r\n", b"10000\r\n" + b"x" * 65536 + b"\r\n", id="for ever"),
    ],
)
def test_the_body_of_a_refused_request_is_not_read_for_as_long_as_it_comes(port, length, piece):
    with socket.create_connection(("127.0.0.1", port), timeout=10) as connection:
        connection.sendall(REFUSED + length)
        back = connection.recv(65536)
        ended = threading.Event()
        threading.Thread(target=pour, args=(connection, piece, ended), daemon=True).start()
        closed = ended.wait(10)

    assert back.startswith(b"HTTP/1.1 403 ")
    assert closed


def pour(connection, piece, ended):
    """Send the piece again and again, until the other side ends the connection."""
    connection.settimeout(0.05)
    try:
        while True:
            try:
                if piece:
                    connection.sendall(piece)
                if not connection.recv(65536):
                    break
            except TimeoutError:
                continue
    except OSError:
        pass
    ended.set()


def test_the_rest_of_a_refused_body_is_read_so_that_the_answer_arrives_and_the_connection_can_be_used_again(port):
    with socket.create_connection(("127.0.0.1", port), timeout=10) as connection:
        connection.sendall(REFUSED + b"Content-Length: 2000000\r\n\r\n" + b"x" * 2_000_000)
        first = connection.recv(65536)
        connection.sendall(b"GET /worker.js HTTP/1.1\r\nHost: localhost\r\n\r\n")
        second = connection.recv(65536)

    assert first.startswith(b"HTTP/1.1 403 ")
    assert second.startswith(b"HTTP/1.1 200 ")


def test_a_client_that_does_not_read_its_answer_is_cut_off(tmp_path, monkeypatch):
    gone = threading.Event()
    monkeypatch.setattr(protocol, "STALL_SECONDS", 0.3)
    monkeypatch.setattr(CountedConnection, "release", lambda _: gone.set())
    (page_in(tmp_path) / "assets" / "large.bin").write_bytes(bytes(20_000_000))
    with (
        serving_inside(tmp_path, local=True) as port,
        socket.create_connection(("127.0.0.1", port), timeout=10) as connection,
    ):
        connection.sendall(b"GET /assets/large.bin HTTP/1.1\r\nHost: localhost\r\n\r\n")

        assert gone.wait(10)


def test_empty_lines_between_requests_do_not_hold_a_connection(tmp_path, monkeypatch):
    monkeypatch.setattr(servers, "KEEP_ALIVE_SECONDS", 0.3)
    with (
        serving_inside(tmp_path, local=True) as port,
        socket.create_connection(("127.0.0.1", port), timeout=10) as connection,
    ):
        connection.sendall(b"GET /worker.js HTTP/1.1\r\nHost: localhost\r\n\r\n")
        connection.recv(65536)
        ended = threading.Event()
        threading.Thread(target=pour, args=(connection, b"\r\n", ended), daemon=True).start()

        assert ended.wait(10)


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

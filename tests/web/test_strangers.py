"""A shop's server, attacked from its network: it stays small, and the paired phone gets in."""

import datetime
import json
import os

import httpx
import pytest
from benchbell.settings import now_ms
from benchbell.store.sqlite_records import ask_records
from benchbell.web import acceptor
from benchbell.web.certificate import certify
from benchbell.web.connections import MOST_OF_ONE
from benchbell.web.servers import TlsFiles
from ports import free_port
from web.machine import NAMES
from web.running import serving, serving_inside
from web.strangers import (
    answer_to,
    connected,
    dripping,
    memory_mb,
    poured,
    still_open,
    unverified,
)

MB = 1_000_000
MOST_GROWTH_MB = 60
"""Some times what the server may need for it, and a small part of what it would take without a limit."""

CHUNKED = b"Transfer-Encoding: chunked\r\n\r\n"
START = b"GET /device HTTP/1.1\r\nHost: localhost\r\n"
LINES = b"".join(b"X-%05d: %s\r\n" % (n, b"y" * 90) for n in range(10_000))


class Shop:
    """A running server with https, and a program paired with it."""

    def __init__(self, process, port, token):
        self.process, self.port, self.tls = process, port, unverified()
        self.url = f"https://127.0.0.1:{port}"
        self.headers = {"Authorization": f"Bearer {token}"}

    def owner(self) -> httpx.Client:
        return httpx.Client(base_url=self.url, headers=self.headers, verify=self.tls, timeout=20)


@pytest.fixture(scope="module")
def tls_files(tmp_path_factory):
    made = certify(tmp_path_factory.mktemp("tls"), NAMES, ("127.0.0.1",), datetime.datetime.now(datetime.UTC))
    return TlsFiles(made.certificate, made.key)


@pytest.fixture(scope="module")
def shop(tmp_path_factory, tls_files):
    folder, port = tmp_path_factory.mktemp("shop"), free_port()
    words = ("--cert", tls_files.certificate, "--key", tls_files.key, "--port", port)
    with serving(folder, *words, url=f"https://127.0.0.1:{port}", verify=unverified()) as process:
        paired = ask_records(folder / "data", lambda records: records.add_device("owner", now_ms(), os.urandom))
        yield Shop(process, port, paired.token)


@pytest.mark.parametrize(
    ("start", "piece"),
    [
        pytest.param(START + b"X-Long: ", b"y" * MB, id="one long header"),
        pytest.param(START, LINES, id="many headers"),
        pytest.param(b"GET /", b"y" * MB, id="a long address"),
        pytest.param(START + CHUNKED + b"1\r\nx\r\n0\r\n", LINES, id="many fields behind a body"),
        pytest.param(
            START + CHUNKED + b"1\r\nx\r\n0\r\nX-Long: ",
            b"y" * MB,
            id="one long field behind it",
        ),
        pytest.param(START + CHUNKED, b"1;" + b"e" * MB, id="chunk extensions"),
        pytest.param(b"", b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n" * 10_000, id="requests without reading"),
    ],
)
def test_no_request_makes_the_server_large(shop, start, piece):
    before = memory_mb(shop.process)
    taken, _ = poured(shop.port, start, piece, 400 * MB, shop.tls)

    assert taken < 40 * MB
    assert memory_mb(shop.process) - before < MOST_GROWTH_MB


@pytest.mark.parametrize(
    "more",
    [
        pytest.param(b"X-Long: " + b"y" * 64_000 + b"\r\n", id="one long header"),
        pytest.param(b"X: y\r\n" * 101, id="many headers"),
    ],
)
def test_too_large_headers_are_refused_with_a_sentence_and_the_security_headers(shop, more):
    back = answer_to(shop.port, START + more + b"\r\n", shop.tls)
    head, _, body = back.partition(b"\r\n\r\n")

    assert head.startswith(b"HTTP/1.1 431 Request Header Fields Too Large\r\n")
    assert b"x-content-type-options: nosniff" in head
    assert "The request's headers are larger than 64 kB." == json.loads(body)["error"]["what"]


def test_headers_up_to_the_limit_are_taken(shop):
    back = answer_to(shop.port, START + b"X-Long: " + b"y" * 63_000 + b"\r\n" + b"X: y\r\n" * 90 + b"\r\n", shop.tls)

    assert back.startswith(b"HTTP/1.1 401 ")


@pytest.mark.parametrize("target", [b"*", b"host:443", b"?", b"//", b"http://[", b"\xff", b"/%ff", b"/%00"])
@pytest.mark.parametrize("method", [b"GET", b"OPTIONS", b"CONNECT", b"PUT", b"NONSENSE"])
def test_any_request_line_is_answered_without_a_fault_and_with_the_security_headers(shop, method, target):
    back = answer_to(shop.port, method + b" " + target + b" HTTP/1.1\r\nHost: h\r\nConnection: close\r\n\r\n", shop.tls)

    assert int(back.split(b" ")[1]) in (200, 400, 401, 403, 404, 405)
    assert b"content-security-policy: default-src 'self'" in back
    assert b"x-content-type-options: nosniff" in back


def test_the_owner_gets_in_while_hundreds_of_connections_drip(shop):
    with shop.owner() as before:
        before.get("/device").raise_for_status()
        with dripping(shop.port, 2 * MOST_OF_ONE, shop.tls) as held:
            with shop.owner() as new:
                answers = [client.get("/device").status_code for client in (new, new, before)]
            left = still_open(held)

    assert [200] * 3 == answers
    assert left <= MOST_OF_ONE


def test_connections_that_never_speak_tls_are_counted_too(shop):
    silent = [connected(shop.port) for _ in range(3 * MOST_OF_ONE)]
    with shop.owner() as owner:
        answer = owner.get("/device")
        left = still_open(silent)
    for connection in silent:
        connection.close()

    assert 200 == answer.status_code
    assert left < MOST_OF_ONE + 10


def test_a_handshake_has_its_time(tmp_path, tls_files, monkeypatch):
    monkeypatch.setattr(acceptor, "HANDSHAKE_SECONDS", 0.3)
    with serving_inside(tmp_path, tls_files) as port, connected(port) as silent:
        assert b"" == silent.recv(100)


def test_what_is_no_tls_is_cut_off_and_the_next_one_served(tmp_path, tls_files):
    with serving_inside(tmp_path, tls_files) as port:
        _, back = poured(port, b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n", b"x", 1)
        page = httpx.get(f"https://127.0.0.1:{port}/", verify=unverified(), timeout=20)

    assert not back.startswith(b"HTTP")
    assert 200 == page.status_code


def fresh_code(records):
    return records.new_pairing_code(now_ms(), os.urandom)


def test_wrong_codes_from_many_addresses_at_once_keep_nobody_out(tmp_path):
    port = free_port()
    url = f"http://127.0.0.1:{port}"
    with serving(tmp_path, "--proxied", "--port", port, url=url), httpx.Client(base_url=url, timeout=20) as client:

        def tried(code, address):
            request, headers = {"code": code, "name": "phone"}, {"X-Forwarded-For": address}
            return client.post("/pair", json=request, headers=headers).status_code

        shown = [ask_records(tmp_path / "data", fresh_code) for _ in range(2)]
        wrong = {tried("00000000", f"fe80::{n:x}") for n in range(1, 60)}
        right = [tried(shown[0], "fe80::77"), tried(shown[1], "192.0.2.7")]

    assert ({403}, [200, 200]) == (wrong, right)

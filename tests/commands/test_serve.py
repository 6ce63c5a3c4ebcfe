"""`benchbell serve`: it starts, says where, stops when told, and says in a sentence why it cannot."""

import os
import re
import signal
import socket
import ssl
import subprocess
import sys
import time
from ipaddress import ip_address
from pathlib import Path

import httpx
import pytest
from benchbell.cli import main, parser_for
from benchbell.commands.serve import port_of, print_addresses
from benchbell.store.database import prepare
from benchbell.store.tables import VERSIONS
from benchbell.web.certificate import certify
from benchbell.web.servers import listen
from full_disk import starting_full
from ports import free_port
from scene import PHONE, bodies
from web.machine import NAMES, NOW
from web.running import command, serving, serving_here

TCP_LISTEN = "0A"
"""The state in the kernel's table (include/net/tcp_states.h)."""


def batch(first, last) -> bytes:
    return b'{"page":2,"after":0,"happenings":[' + b",".join(bodies(first, last)) + b"]}"


def test_it_stops_in_good_order_when_told_and_keeps_what_it_took(tmp_path):
    for expected in (3, 6):
        with serving_here(tmp_path) as (url, process):
            sent = httpx.post(
                f"{url}/sync", content=batch(expected - 2, expected), headers={"Device": PHONE}, timeout=20
            )
            began = time.monotonic()
            process.send_signal(signal.SIGTERM)
            status = process.wait(timeout=15)
            seconds = time.monotonic() - began

        assert (expected, 0) == (sent.json()["taken_to"], status)
        assert seconds < 5


def test_for_this_machine_alone_it_listens_on_loopback_alone(tmp_path):
    with serving_here(tmp_path) as (url, process):
        port = int(url.rpartition(":")[2])
        listening = addresses_listening_on(port)

        assert f"Benchbell: http://127.0.0.1:{port}/\n" == process.out.read_text()
    assert [ip_address("127.0.0.1")] == listening


def addresses_listening_on(port: int):
    """The addresses on which anybody listens on this port, as the kernel lists them (proc(5), /proc/net/tcp)."""
    rows = [row.split() for table in ("tcp", "tcp6") for row in Path(f"/proc/net/{table}").read_text().splitlines()[1:]]
    local = [row[1].split(":") for row in rows if row[3] == TCP_LISTEN]
    return [address_in(host) for host, number in local if int(number, 16) == port]


def address_in(digits: str):
    """An address as the kernel writes it: 32-bit words, each with its bytes in the machine's own order."""
    words = [int(digits[at : at + 8], 16).to_bytes(4, sys.byteorder) for at in range(0, len(digits), 8)]
    return ip_address(b"".join(words))


def test_on_a_network_there_is_https_by_name_and_a_welcome_page_without(tmp_path):
    port, welcome = free_port(), free_port()
    ports = ("--port", port, "--welcome-port", welcome)
    with serving(tmp_path, *ports, url=f"http://127.0.0.1:{welcome}") as process:
        authority = httpx.get(f"http://127.0.0.1:{welcome}/benchbell-authority.crt", timeout=20).text
        trusting = ssl.create_default_context(cadata=authority)
        page = httpx.get(f"https://localhost:{port}/", verify=trusting, timeout=20)
        refused = httpx.get(f"https://localhost:{port}/recipes", verify=trusting, timeout=20)
        printed = process.out.read_text()

    assert 200 == page.status_code
    assert "max-age=0" == page.headers["strict-transport-security"]  # or the welcome page could not open by name
    assert (401, "not-paired") == (refused.status_code, refused.json()["error"]["kind"])
    assert re.search(rf"^Benchbell: https://\S+\.local:{port}/ or https://", printed)
    assert re.search(rf"^New phone: open http://\S+:{welcome}/ on it", printed, re.MULTILINE)
    assert re.search(r"SHA-256\): ([0-9A-F]{2}:){31}[0-9A-F]{2}$", printed, re.MULTILINE)
    assert "To pair one: benchbell pair" in printed


def test_an_idle_client_does_not_hold_up_the_stop(tmp_path):
    port, welcome = free_port(), free_port()
    ports = ("--port", port, "--welcome-port", welcome)
    with serving(tmp_path, *ports, url=f"http://127.0.0.1:{welcome}") as process:
        authority = httpx.get(f"http://127.0.0.1:{welcome}/benchbell-authority.crt", timeout=20).text
        trusting = ssl.create_default_context(cadata=authority)
        with (
            socket.create_connection(("127.0.0.1", port)) as plain,
            trusting.wrap_socket(plain, server_hostname="localhost") as idle,
        ):
            idle.sendall(b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n")
            idle.recv(100_000)
            begun = time.monotonic()
            process.terminate()
            process.wait(20)
            took = time.monotonic() - begun
        printed = process.out.read_text()

    assert took < 2.5
    assert "Cancel" not in printed


def test_the_port_that_the_system_chose_is_the_one_that_is_printed(capsys, tmp_path):
    args = parser_for(["serve"]).parse_args(["serve", "--local", "--port", "0", "--data", str(tmp_path)])
    listening = listen("127.0.0.1", 0)
    with listening:
        print_addresses(args, (f"http://127.0.0.1:{port_of(listening)}",))
        assert f":{listening.getsockname()[1]}/" in capsys.readouterr().out


def test_a_folder_of_recipes_that_is_not_there_is_said(tmp_path, capsys):
    assert main(["serve", "--local", "--data", str(tmp_path / "data"), "--recipes", str(tmp_path / "nowhere")]) == 1
    assert "There is no folder" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["server.pem", "server.key"])
def test_a_certificate_that_a_power_cut_emptied_is_made_anew_and_phones_go_on_trusting_it(tmp_path, name):
    port, welcome = free_port(), free_port()
    ports = ("--port", port, "--welcome-port", welcome)
    with serving(tmp_path, *ports, url=f"http://127.0.0.1:{welcome}"):
        authority = httpx.get(f"http://127.0.0.1:{welcome}/benchbell-authority.crt", timeout=20).text
    (tmp_path / "data" / "certificate" / name).write_bytes(b"")
    trusting = ssl.create_default_context(cadata=authority)
    with serving(tmp_path, *ports, url=f"http://127.0.0.1:{welcome}"):
        page = httpx.get(f"https://localhost:{port}/", verify=trusting, timeout=20)

    assert 200 == page.status_code


def test_on_a_full_disk_it_serves_https_with_the_certificate_it_has(tmp_path):
    port, welcome = free_port(), free_port()
    ports = ("--port", port, "--welcome-port", welcome)
    with serving(tmp_path, *ports, url=f"http://127.0.0.1:{welcome}"):
        authority = httpx.get(f"http://127.0.0.1:{welcome}/benchbell-authority.crt", timeout=20).text
    # Of other addresses, as when the router gave new ones: it is to be renewed, and cannot be written.
    certify(tmp_path / "data" / "certificate", NAMES[2:], ("127.0.0.1",), NOW.now(NOW.tzinfo))
    trusting = ssl.create_default_context(cadata=authority)
    with serving(tmp_path, *ports, url=f"http://127.0.0.1:{welcome}", before=starting_full):
        page = httpx.get(f"https://localhost:{port}/", verify=trusting, timeout=20)

    assert 200 == page.status_code


def test_a_certificate_from_elsewhere_is_taken(tmp_path):
    made = certify(tmp_path / "theirs", NAMES, ("127.0.0.1",), NOW.now(NOW.tzinfo))
    port = free_port()
    trusting = ssl.create_default_context(cafile=made.authority)
    words = ("--cert", made.certificate, "--key", made.key, "--port", port, "--address", f"https://bench.local:{port}")
    with serving(tmp_path, *words, url=f"https://127.0.0.1:{port}", verify=trusting) as process:
        page = httpx.get(f"https://127.0.0.1:{port}/", verify=trusting, timeout=20)
        printed = process.out.read_text()

    assert "max-age=31536000" == page.headers["strict-transport-security"]
    assert printed.startswith(f"Benchbell: https://bench.local:{port}/")
    assert "Fingerprint" not in printed


def test_a_port_that_is_taken_is_said_with_the_option_that_helps(tmp_path):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        ended = command("serve", "--local", "--port", port, "--data", tmp_path)

    assert 1 == ended.returncode
    assert f"Cannot listen on 127.0.0.1, port {port} (Address already in use)." == ended.stderr.splitlines()[0]
    assert "Choose another with --port." == ended.stderr.splitlines()[1]


def test_a_second_server_on_the_same_folder_is_refused_and_commands_are_not(tmp_path):
    with serving_here(tmp_path) as (url, process):
        second = command("serve", "--local", "--port", free_port(), "--data", tmp_path / "data")
        beside = command("devices", "--data", tmp_path / "data")
        first = httpx.get(url, timeout=20)
        process.kill()
        process.wait(timeout=15)
    with serving_here(tmp_path) as (url, _):
        after_kill = httpx.get(url, timeout=20)

    assert (1, "") == (second.returncode, second.stdout)
    assert [
        f"Another server runs on {tmp_path / 'data'}.",
        "Stop it first, or choose another folder with --data.",
    ] == second.stderr.splitlines()
    assert (0, 200, 200) == (beside.returncode, first.status_code, after_kill.status_code)


def newer(folder):
    prepare(folder, (*VERSIONS, "SELECT 1"))


def emptied(folder):
    prepare(folder).write_bytes(b"")


KILLED = """
import os, signal, sys
from pathlib import Path
from benchbell.store.whole_file import write_whole
sys.addaudithook(lambda event, _: event == "os.rename" and os.kill(os.getpid(), signal.SIGKILL))
write_whole(Path(sys.argv[1]), b"half a photo")
"""


def test_a_start_deletes_what_was_half_received_when_a_server_was_killed_and_nothing_else(tmp_path):
    photos = tmp_path / "data" / "photos" / "ab"
    prepare(tmp_path / "data")
    paths = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    killed = subprocess.run([sys.executable, "-c", KILLED, str(photos / ("ab" * 32))], env=paths)
    (half,) = photos.iterdir()
    theirs = [photos / ".notes", photos / ".Trash-1000", photos / "half a photo"]
    for file in theirs:
        file.write_text("theirs")
    with serving_here(tmp_path):
        pass

    assert -signal.SIGKILL == killed.returncode
    assert not half.exists()
    assert sorted(theirs) == sorted(photos.iterdir())


def damaged(folder):
    prepare(folder).write_bytes(b"nothing of a database" * 1000)


def in_the_way(folder):
    folder.write_text("a file")


@pytest.mark.parametrize(
    ("spoil", "sentence"),
    [
        (newer, "was written by a newer Benchbell"),
        (damaged, "is damaged"),
        (emptied, "is damaged (it is empty)"),
        (in_the_way, "cannot be made (File exists)"),
    ],
)
def test_records_that_cannot_be_used_are_said_before_anything_is_served(tmp_path, spoil, sentence):
    spoil(tmp_path / "data")
    ended = command("serve", "--local", "--port", free_port(), "--data", tmp_path / "data")

    assert (1, "") == (ended.returncode, ended.stdout)
    assert sentence in ended.stderr
    assert 2 == len(ended.stderr.strip().splitlines())


def test_a_folder_nobody_may_write_in_is_said():
    # The kernel's own tree takes no new file from anybody, not even from root, as whom these tests may run.
    ended = command("serve", "--local", "--port", free_port(), "--data", "/sys/kernel")

    assert 1 == ended.returncode
    assert "benchbell.db cannot be written" in ended.stderr
    assert "or choose --data." in ended.stderr


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("--cert", "x.pem"), "A certificate and its key belong together.\nGive both --cert and --key.\n"),
        (("--cert", "no.pem", "--key", "no.key"), "The certificate cannot be used ([Errno 2] No such file"),
    ],
)
def test_options_that_do_not_fit_are_said(tmp_path, words, sentence):
    ended = command("serve", *words, "--port", free_port(), "--data", tmp_path / "data", cwd=tmp_path)

    assert (1, "") == (ended.returncode, ended.stdout)
    assert sentence in ended.stderr


def test_records_are_where_the_user_said(tmp_path):
    environment = {**os.environ, "BENCHBELL_DATA": str(tmp_path / "here")}
    prepare(tmp_path / "here")
    listed = command("devices", env=environment)

    assert (0, "No device is paired.\n") == (listed.returncode, listed.stdout)

"""`benchbell pair`, `devices`, `backup`, `restore`, beside a running server or without one."""

import hashlib
import json
from pathlib import Path

import httpx
import pytest
from benchbell.cli import main
from benchbell.store.database import prepare
from benchbell.store.sqlite_records import ask_records
from benchbell.store.whole_file import write_whole
from ports import free_port
from scene import bodies
from web.running import command, serving

PICTURE = hashlib.sha256(b"a picture").hexdigest()


def run(capsys, *words):
    """Status and output of one command."""
    status = main([str(word) for word in words])
    printed = capsys.readouterr()
    return status, printed.out, printed.err


def device_in(data, name):
    return ask_records(data, lambda records: records.add_device(name, 1_764_072_000_000, bytes_like)).device


def bytes_like(count):
    """Different bytes each time."""
    bytes_like.number += 1
    return bytes_like.number.to_bytes(count)


bytes_like.number = 0


def test_a_lost_phone_is_revoked_reviewed_and_its_work_taken(tmp_path, capsys):
    device = device_in(tmp_path, "lost phone")
    late = b'{"page":2,"after":0,"happenings":[' + b",".join(bodies(1, 2, device.id)) + b"]}"
    _, revoked, _ = run(capsys, "devices", "revoke", "lost phone", "--data", tmp_path)
    ask_records(tmp_path, lambda records: records.keep_in_quarantine(device.id, late, 1_764_072_060_000))
    _, listed, _ = run(capsys, "devices", "--data", tmp_path)
    _, reviewed, _ = run(capsys, "devices", "review", "lost phone", "--data", tmp_path)
    _, taken, _ = run(capsys, "devices", "accept", "lost phone", "--data", tmp_path)

    assert "lost phone is revoked. What it sends from now on is kept aside for review.\n" == revoked
    assert listed.startswith(f"lost phone  ({device.id}, paired 2025-11-25 ")
    assert "2 happenings to review)" in listed
    assert [body.decode() for body in bodies(1, 2, device.id)] == reviewed.splitlines()
    assert "2 happenings of lost phone are in the log now.\n" == taken
    assert 2 == ask_records(tmp_path, lambda records: records.newest_position())


def test_what_cannot_be_taken_is_said_and_can_be_deleted(tmp_path, capsys):
    device = device_in(tmp_path, "lost phone")
    late = b'{"page":2,"after":0,"happenings":[7,' + b",".join(bodies(1, 2, device.id)) + b"]}"
    run(capsys, "devices", "revoke", "lost phone", "--data", tmp_path)
    ask_records(tmp_path, lambda records: records.keep_in_quarantine(device.id, late, 1_764_072_060_000))
    _, taken, _ = run(capsys, "devices", "accept", "lost phone", "--data", tmp_path)
    _, deleted, _ = run(capsys, "devices", "discard", "lost phone", "--data", tmp_path)
    _, listed, _ = run(capsys, "devices", "--data", tmp_path)

    assert (
        "2 happenings of lost phone are in the log now. 1 could not be taken and stays aside. "
        "Look at them with benchbell devices review, or delete them with benchbell devices discard.\n"
    ) == taken
    assert "1 happening of lost phone is deleted.\n" == deleted
    assert "to review" not in listed


def test_of_two_devices_with_one_name_the_welcome_one_is_meant(tmp_path):
    old = device_in(tmp_path, "phone")
    ask_records(tmp_path, lambda records: records.revoke(old.id, 1_764_072_000_001))
    new = device_in(tmp_path, "phone")

    assert new.id == ask_records(tmp_path, lambda records: records.revoke("phone", 1_764_072_000_002)).id


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("devices", "revoke"), "benchbell devices revoke needs a device.\nAdd its name"),
        (("devices", "accept", "nobody"), "There is no device “nobody”."),
        (("pair",), "No server was ever started on"),
    ],
)
def test_what_is_missing_is_said(tmp_path, capsys, words, sentence):
    prepare(tmp_path)
    status, _, errors = run(capsys, *words, "--data", tmp_path)

    assert (1, True) == (status, errors.startswith(sentence))


@pytest.mark.parametrize(
    "words",
    [
        ("devices",),
        ("devices", "revoke", "phone"),
        ("log", "bench"),
        ("labels", "--build", "bench", "--out", "x.pdf"),
        ("backup", "x.zip"),
        ("backup", "--rehearse"),
        ("pair", "--token", "a script"),
    ],
)
def test_a_data_folder_that_is_not_there_is_refused_and_not_made(tmp_path, capsys, words):
    folder = tmp_path / "mistyped"

    assert run(capsys, *words, "--data", folder) == (
        1,
        "",
        f"There is no data folder {folder}.\nName the right one with --data, or start benchbell serve.\n",
    )
    assert not folder.exists()
    assert run(capsys, *words, "--data", tmp_path)[2].startswith(f"{tmp_path} holds no records.\n")
    assert list(tmp_path.iterdir()) == []


def test_the_code_of_the_terminal_pairs_a_phone_with_the_running_server(tmp_path):
    port = free_port()
    with serving(tmp_path, "--proxied", "--port", port, url=f"http://127.0.0.1:{port}") as process:
        shown = json.loads(command("pair", "--json", "--data", tmp_path / "data").stdout)
        words = command("pair", "--data", tmp_path / "data").stdout
        answer = httpx.post(f"http://127.0.0.1:{port}/pair", json={"code": shown["code"], "name": "bench"}, timeout=20)
        devices = json.loads(command("devices", "--json", "--data", tmp_path / "data").stdout)
        token = command("pair", "--token", "a script", "--data", tmp_path / "data").stdout.split()[0]
        named = httpx.get(f"http://127.0.0.1:{port}/device", headers={"Authorization": f"Bearer {token}"}, timeout=20)
        proxied = {"Authorization": f"Bearer {token}", "X-Forwarded-Proto": "https", "Host": "bench.example"}
        another = httpx.post(f"http://127.0.0.1:{port}/devices/code", headers=proxied, timeout=20)
        written = process.out.read_text()

    assert f"http://127.0.0.1:{port}/pair#{shown['code']}" == shown["address"]
    assert "█" in words and "and type " in words
    assert "bench" == answer.json()["name"] == devices[0]["name"]
    assert "a script" == named.json()["name"]
    assert another.json()["address"].startswith("https://bench.example/pair#")
    assert "strict-transport-security" in another.headers
    for secret in (shown["code"], token, answer.cookies["__Host-benchbell"]):
        assert secret not in written


def test_a_backup_of_a_running_server_is_restored_elsewhere(tmp_path):
    port = free_port()
    url = f"http://127.0.0.1:{port}"
    with serving(tmp_path, "--local", "--demo", "--port", port, url=url):
        photo = Path("photos", PICTURE[:2], PICTURE)
        write_whole(tmp_path / "data" / photo, b"a picture")
        made = json.loads(command("backup", tmp_path / "copy.zip", "--json", "--data", tmp_path / "data").stdout)
    back = command("restore", tmp_path / "copy.zip", "--data", tmp_path / "elsewhere")
    happenings = ask_records(tmp_path / "elsewhere", lambda records: records.newest_position())

    assert made["happenings"] == happenings > 10
    assert back.stdout.startswith(f"Restored and checked: {happenings} happenings, {made['files']} files")
    assert b"a picture" == (tmp_path / "elsewhere" / photo).read_bytes()

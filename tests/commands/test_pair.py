"""`benchbell pair`: which command is to be typed, what hinders it, and terminals without the QR code's blocks."""

import io
import sys

import pytest
from benchbell.cli import main
from benchbell.commands.data_folder import command_on, keep_server_address
from benchbell.store.folder_lock import only_server_on
from benchbell.web.terminal import pairing_instructions
from scene import for_one_machine


@pytest.fixture
def data(tmp_path):
    with for_one_machine(tmp_path / "my shop") as client:
        data = client.settings.data
    keep_server_address(data, "https://bench.local:8443")
    return data


def test_the_command_has_the_folder_and_the_program_as_it_was_called(data, monkeypatch):
    monkeypatch.setattr(sys, "argv", ["/opt/bench bell/benchbell", "serve"])

    assert command_on(data, "pair") == f"'/opt/bench bell/benchbell' pair --data '{data}'"


def test_the_usual_folder_is_not_named(data, monkeypatch):
    monkeypatch.setenv("BENCHBELL_DATA", str(data))
    monkeypatch.setattr(sys, "argv", ["pytest"])

    assert command_on(data, "pair") == "benchbell pair"


def test_it_says_when_no_server_runs_on_the_folder(data, capsys):
    assert main(["pair", "--data", str(data)]) == 0
    stopped = capsys.readouterr().out
    with only_server_on(data):
        main(["pair", "--data", str(data)])
        running = capsys.readouterr().out

    assert f"No server runs on {data}" in stopped
    assert "No server runs" not in running


def test_it_says_that_a_server_for_one_machine_pairs_nothing(data, capsys):
    keep_server_address(data, "http://127.0.0.1:8443")
    with only_server_on(data):
        main(["pair", "--data", str(data)])

    assert "--local" in capsys.readouterr().out


@pytest.mark.parametrize("encoding", ["ascii", "latin-1"])
def test_a_terminal_without_the_blocks_gets_the_code_to_type(encoding, monkeypatch):
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(io.BytesIO(), encoding=encoding))
    text = pairing_instructions("https://bench.local:8443/pair#ABCDEFGH", "ABCDEFGH")

    assert text.encode(encoding).startswith(b"To pair one device within ten minutes, open")


def test_an_empty_name_is_not_the_current_folder(capsys):
    with pytest.raises(SystemExit):
        main(["pair", "--data", ""])
    assert "it is empty" in capsys.readouterr().err


def test_an_address_that_became_a_folder_is_named(data, capsys):
    (data / "address").unlink()
    (data / "address").mkdir()

    assert main(["pair", "--data", str(data)]) == 1
    assert "address is a folder" in capsys.readouterr().err

"""The program's commands: all are found, and only the one asked for is loaded."""

import json
import re
import subprocess
import sys

import pytest
from benchbell.cli import COMMANDS, main, parser_for
from benchbell.store.database import prepare


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_is_there_and_says_what_it_is_for(name, capsys):
    with pytest.raises(SystemExit) as ended:
        parser_for([name, "--help"]).parse_args([name, "--help"])

    assert 0 == ended.value.code
    assert f"usage: benchbell {name}" in capsys.readouterr().out


def test_the_help_lists_every_command(capsys):
    assert 0 == main(["--help"])
    listed = capsys.readouterr().out

    for name in COMMANDS:
        assert re.search(rf"^    {name}\b", listed, re.MULTILINE), name


def test_only_the_command_asked_for_is_loaded():
    look = (
        "import sys, json; from benchbell.cli import parser_for; parser_for(['check']);"
        "print(json.dumps(sorted(name for name in sys.modules if name.startswith('benchbell.'))))"
    )
    loaded = json.loads(subprocess.run([sys.executable, "-c", look], capture_output=True, check=True).stdout)

    assert "benchbell.commands.check" in loaded
    assert not [name for name in loaded if name.startswith(("benchbell.web", "benchbell.store", "benchbell.labels"))]


def test_what_cannot_be_done_is_told_in_two_sentences_and_status_1(tmp_path, capsys):
    prepare(tmp_path)
    assert 1 == main(["devices", "revoke", "nobody", "--data", str(tmp_path)])
    assert "There is no device “nobody”.\nSee their names with benchbell devices.\n" == capsys.readouterr().err


@pytest.mark.parametrize("module", ["benchbell", "benchbell.cli"])
def test_run_as_a_module_it_is_the_same_program(module):
    asked = subprocess.run([sys.executable, "-m", module, "no-such"], capture_output=True, text=True, check=False)

    assert asked.returncode == 2
    assert "benchbell" in asked.stderr

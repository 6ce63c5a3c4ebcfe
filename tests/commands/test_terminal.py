"""Every command at a terminal: help, slips, closed pipes, full disks, terminals that know ASCII only, colour."""

import io
import json
import os
import pty
import re
import subprocess
import sys
from pathlib import Path

import pytest
from benchbell.cli import COMMANDS, main, parser_for
from benchbell.commands import progress as module
from benchbell.commands.progress import progress
from benchbell.commands.terminal_text import coloured, plain_letter, wants_colour
from benchbell.reckon import COMMANDS as SUBJECTS

ROOT = Path(__file__).parents[2]
BENCH = str(ROOT / "recipes/hall-bench.toml")
PRINTING = [
    ("check", BENCH),
    ("sheet", BENCH),
    ("sheet", "--json", BENCH),
    ("names",),
    ("reckon", "species"),
    ("--help",),
]


def program(*words, **options):
    """The program in a process of its own; PYTHONUNBUFFERED is off, as it is for most people."""
    code = "import sys; from benchbell.cli import main; sys.exit(main())"
    env = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"} | options.pop("env", {})
    return subprocess.run(
        [sys.executable, "-c", code, *words], stderr=subprocess.PIPE, env=env, timeout=60, check=False, **options
    )


def helped(capsys, *words):
    """The help of some words."""
    assert main([*words, "--help"]) == 0
    return capsys.readouterr().out


@pytest.mark.parametrize("command", COMMANDS)
def test_every_help_says_what_it_does_and_has_an_example_that_is_understood(capsys, command):
    text = helped(capsys, command)
    first = re.search(r"^  benchbell (.*?)(?: +[<>#].*|   .*)?$", text, re.MULTILINE)

    assert re.search(r"^[A-Z][^:]*[.,:]", text.split("\n\n")[1])
    assert first, text
    assert parser_for([command]) and first[1].split()[0] == command


@pytest.mark.parametrize("subject", [subject.name for subject in SUBJECTS])
def test_every_subject_of_the_arithmetic_has_an_example(capsys, subject):
    assert f"  benchbell reckon {subject} " in helped(capsys, "reckon", subject)


def test_the_version_is_told(capsys):
    assert main(["--version"]) == 0
    assert re.fullmatch(r"benchbell \d+\.\d+.*\n", capsys.readouterr().out)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["chekc"], "There is no command chekc. Did you mean check?"),
        (["names", "glew"], "Did you mean glue?"),
        (["check", "--josn"], "unrecognized arguments: --josn\nSee benchbell check --help."),
        ([], "required: COMMAND\nSee benchbell --help."),
    ],
)
def test_a_slip_is_answered_with_what_to_write(capsys, words, said):
    with pytest.raises(SystemExit) as ended:
        main(words)

    assert (ended.value.code, said in capsys.readouterr().err) == (2, True)


@pytest.mark.parametrize("words", [["sheet", "/nowhere", "--json"], ["log", "x", "--json", "--data", "/nowhere"]])
def test_an_error_is_json_where_json_is_asked(capsys, words):
    assert main(words) == 1
    assert set(json.loads(capsys.readouterr().out)) == {"error", "next_step"}


def test_a_slip_is_json_too_where_json_is_asked(capsys):
    with pytest.raises(SystemExit):
        main(["check", "--josn", "--json"])

    assert json.loads(capsys.readouterr().out)["next_step"] == "See benchbell check --help."


@pytest.mark.parametrize("words", PRINTING, ids=" ".join)
def test_a_full_disk_gives_a_sentence(words):
    with Path("/dev/full").open("w") as full:
        ended = program(*words, stdout=full)

    assert ended.returncode == 1
    assert ended.stderr.decode().startswith("The output cannot be written (No space left on device).\n")


@pytest.mark.parametrize("words", PRINTING, ids=" ".join)
def test_a_closed_pipe_is_no_error(words):
    read, write = os.pipe()
    os.close(read)
    ended = program(*words, stdout=write)
    os.close(write)

    assert (ended.returncode, ended.stderr) == (0, b"")


@pytest.mark.parametrize("words", PRINTING, ids=" ".join)
def test_a_terminal_that_knows_ascii_only_gets_plain_letters(words):
    ended = program(*words, stdout=subprocess.PIPE, env={"PYTHONIOENCODING": "ascii", "LC_ALL": "C"})

    assert (ended.returncode, ended.stderr) == (0, b"")
    assert ended.stdout.isascii()
    if "--json" in words:
        assert "×" not in json.loads(ended.stdout)["title"]


def test_output_that_is_closed_goes_nowhere():
    assert program("names", preexec_fn=lambda: os.close(1)).returncode == 0


@pytest.mark.parametrize(("character", "plain"), [("×", "x"), ("½", "1/2"), ("é", "e"), ("“", '"'), ("█", "?")])
def test_plain_letters(character, plain):
    assert plain_letter(character) == plain


class Terminal(io.StringIO):
    """A stream that is a terminal."""

    def isatty(self):
        return True


@pytest.mark.parametrize(
    ("stream", "environment", "wanted"),
    # NO_COLOR counts when it is there and not empty, as its informal standard says.
    [
        (Terminal(), {"TERM": "xterm"}, True),
        (Terminal(), {"TERM": "xterm", "NO_COLOR": ""}, True),
        (Terminal(), {"TERM": "xterm", "NO_COLOR": "1"}, False),
        (Terminal(), {"TERM": "dumb"}, False),
        (io.StringIO(), {"TERM": "xterm"}, False),
    ],
)
def test_colour_only_on_a_terminal_and_where_nobody_minds(monkeypatch, stream, environment, wanted):
    monkeypatch.delenv("NO_COLOR", raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)

    assert wants_colour(stream) is wanted
    monkeypatch.setattr(sys, "stdout", stream)
    assert coloured("error", "error") == ("\x1b[31merror\x1b[0m" if wanted else "error")


@pytest.mark.parametrize(("stream", "shown"), [(Terminal(), True), (io.StringIO(), False)])
def test_progress_is_told_on_a_terminal_after_a_second_and_then_gone(monkeypatch, stream, shown):
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setattr(module, "SHOWN_AFTER_S", 0.01)
    monkeypatch.setattr(module, "EVERY_S", 0.01)
    with progress("Planning"):
        for _ in range(200):
            if "Planning" in stream.getvalue() or not shown:
                break
            module.time.sleep(0.01)

    assert ("Planning: 0 s" in stream.getvalue()) is shown
    assert stream.getvalue().endswith(module.CLEAR_LINE if shown else "")


def test_what_is_quick_tells_no_progress(monkeypatch):
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    with progress("Planning"):
        pass

    assert stream.getvalue() == ""


def test_findings_are_coloured_on_a_real_terminal():
    main_end, terminal = pty.openpty()
    ended = program("check", str(ROOT / "pyproject.toml"), stdout=terminal, env={"TERM": "xterm", "NO_COLOR": ""})
    os.close(terminal)

    assert ended.returncode == 1
    assert b": \x1b[31merror\x1b[0m: " in os.read(main_end, 4000)
    os.close(main_end)


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_a_shell_learns_commands_and_options(capsys, shell):
    assert main(["completion", shell]) == 0
    script = capsys.readouterr().out

    assert [command for command in COMMANDS if command not in script] == []
    assert "strict" in script


def test_bash_completes_a_command_an_option_and_a_choice(capsys, tmp_path):
    main(["completion", "bash"])
    script = tmp_path / "benchbell.bash"
    script.write_text(capsys.readouterr().out, encoding="utf-8")
    asked = """source "$0"; function=$(complete -p benchbell | sed 's/.*-F \\([^ ]*\\).*/\\1/')
    ask() { COMP_WORDS=(benchbell "$@"); COMP_CWORD=$#; $function benchbell "${@: -1}"; echo "${COMPREPLY[@]}"; }
    ask chec; ask check --st; ask names wo"""
    ended = subprocess.run(["bash", "-c", asked, script], capture_output=True, text=True, check=True, timeout=30)

    assert ended.stdout.split("\n")[:3] == ["check", "--strict", "wood"]


@pytest.mark.parametrize(
    ("kind", "name"),
    [
        ("station", "planer"),
        ("glues", "pva-slow"),
        ("finishes", "shellac"),
        ("wood", "teak"),
        ("warning", "no-dry-fit"),
    ],
)
def test_names_are_listed_by_kind(capsys, kind, name):
    assert main(["names", kind]) == 0
    assert re.search(rf"^{name}\b", capsys.readouterr().out, re.MULTILINE)


def test_names_as_json(capsys):
    main(["names", "--json"])
    names = json.loads(capsys.readouterr().out)["names"]

    assert set(names) == {"station", "glue", "finish", "clamp", "wood", "caution", "warning", "fragment"}
    assert next(row for row in names["station"] if row["name"] == "planer")["also"][0] == "thicknesser"

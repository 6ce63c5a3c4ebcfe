"""README and DEVELOPERS against the program: what they name is there."""

import re
import shlex
import subprocess
from pathlib import Path

import pytest
from benchbell.cli import COMMANDS, parser_for

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")

NAMED = sorted(set(re.findall(r"(?<![\w/.-])benchbell ((?:check|sheet|[a-z]+) ?[^`\n]*?)`", README)))
"""Every command the README shows between backticks."""


def test_the_readme_opens_with_one_paragraph_that_states_the_job():
    title, paragraph, *_ = README.split("\n\n")

    assert title == "# Benchbell"
    for word in ("furniture maker", "phone", "recipes", "QR", "syncs", "clamps", "log"):
        assert word in paragraph


def test_the_readme_names_commands_at_all():
    assert len(NAMED) > 8


@pytest.mark.parametrize("command", NAMED)
def test_a_command_in_the_readme_is_understood(command):
    words = shlex.split(command)

    assert words[0] in COMMANDS
    assert parser_for(words).parse_args(words).run


def test_continuous_integration_runs_the_readmes_test_command():
    blocks = re.findall(r"```sh\n(.*?)\n```", README, re.DOTALL)
    asked = next(block for block in blocks if "pytest" in block)

    assert asked in (ROOT / ".ci/run").read_text(encoding="utf-8").replace("--quiet ", "")


def test_every_file_and_folder_that_developers_are_told_of_is_there():
    house = DEVELOPERS.split("```")[1]
    rooms = re.findall(r"^  ([a-z]+(?:/|\.py))", house, re.MULTILINE)

    assert rooms
    assert [room for room in rooms if not (ROOT / "backend/benchbell" / room).exists()] == []


def test_every_python_file_named_in_the_developers_text_is_there():
    named = set(
        re.findall(
            r"`((?:backend|tests|recipe|bench|trade|web|buildlog|pwa)/[\w/.-]+\.(?:py|ts|json|toml))`", DEVELOPERS
        )
    )
    there = {file.name for folder in ("backend", "tests", "pwa/src") for file in (ROOT / folder).rglob("*.*")}

    assert named
    assert [name for name in named if Path(name).name not in there] == []


def test_pictures_in_the_readme_are_in_the_repository():
    pictures = re.findall(r"!\[[^\]]*\]\(([^)]+)\)", README)
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, check=True, capture_output=True, text=True).stdout.split()

    assert pictures
    assert [picture for picture in pictures if picture not in tracked] == []

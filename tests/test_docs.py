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


STARTS = ("", "backend/", "backend/benchbell/", "pwa/", "pwa/src/")
"""Where a path in the developers' text may begin."""


def is_there(path: str) -> bool:
    """Whether a file or folder stands at the path; a stem alone is good for a twin, which has two endings."""
    places = [ROOT / start / path.rstrip("/") for start in STARTS]
    return any(place.exists() or any(place.parent.glob(f"{place.name}.*")) for place in places)


def paths_in(text: str) -> list[str]:
    """Every path that the text names between backticks, whatever its ending; commands and formulas are none."""
    return re.findall(r"`((?:[\w.-]+/)+(?:[\w-]+(?:\.[a-z]+)*)?)`", text)


def paths_drawn(house: str) -> list[str]:
    """Every path in the drawing of the house: a line's first word, inside the folder that stands above it."""
    found: list[str] = []
    folders: list[tuple[int, str]] = []
    for indent, names in re.findall(r"^( *)((?:[\w.-]+/?(?:  )?)+)(?=  |$)", house, re.MULTILINE):
        folders = [(depth, folder) for depth, folder in folders if depth < len(indent)]
        found += ["".join(folder for _, folder in folders) + name for name in names.split()]
        folders += [(len(indent), name) for name in names.split() if name.endswith("/")]
    return found


def test_everything_in_the_drawing_of_the_house_is_there():
    drawn = paths_drawn(DEVELOPERS.split("```")[1])

    assert len(drawn) > 30
    assert [path for path in drawn if not (ROOT / path).exists()] == []


def test_every_room_of_the_package_and_the_page_stands_in_the_drawing():
    drawn = {path.rstrip("/") for path in paths_drawn(DEVELOPERS.split("```")[1])}
    rooms = [file.parent for file in (ROOT / "backend/benchbell").glob("*/__init__.py")]
    rooms += [folder for folder in (ROOT / "pwa/src").iterdir() if folder.is_dir()]

    assert [room.name for room in rooms if str(room.relative_to(ROOT)) not in drawn] == []


def test_every_path_named_in_the_developers_text_is_there():
    named = paths_in(DEVELOPERS)

    assert len(named) > 30
    assert [path for path in named if not is_there(path)] == []


def test_pictures_in_the_readme_are_in_the_repository():
    pictures = re.findall(r"!\[[^\]]*\]\(([^)]+)\)", README)
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, check=True, capture_output=True, text=True).stdout.split()

    assert pictures
    assert [picture for picture in pictures if picture not in tracked] == []

"""README and DEVELOPERS against the program: what they name is there."""

import ast
import re
import shlex
import subprocess
from pathlib import Path

import msgspec.inspect as kinds
import pytest
from benchbell.cli import COMMANDS, parser_for
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.read import FORM
from benchbell.recipe.warning_rules import WARNINGS

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


LANGUAGE = DEVELOPERS.partition("\n## The recipe language\n")[2]
FIRST_RECIPE = re.search(r"## A first recipe\n.*?```toml\n(.*?)```", README, re.DOTALL)[1]


def test_the_first_recipe_is_sound_and_short():
    sheet = compile_text(FIRST_RECIPE, "wall-shelf.toml")

    assert sheet.findings == ()
    assert len([line for line in FIRST_RECIPE.splitlines() if line]) <= 36


def test_the_first_recipe_prints_a_sheet_that_can_be_worked_from(tmp_path, capsys):
    file = tmp_path / "wall-shelf.toml"
    file.write_text(FIRST_RECIPE, encoding="utf-8")
    words = ["sheet", str(file)]
    code = parser_for(words).parse_args(words).run(parser_for(words).parse_args(words))
    out = capsys.readouterr().out

    assert code == 0
    for line in (
        "Wall shelf, pieces A: 5 operations, ",
        "1 × Shelf  600 × 160 × 20 mm",
        "to size: Shelf 600 mm long, 160 mm wide; Back 600 mm long, 90 mm wide",
        "have ready: 4 light F clamps",
        "clock in-clamps: at least 1 h",
        "  5. Oil, coat 2 of 2",
        "not before A/oil-1's recoat is over",
    ):
        assert line in out
    assert " 0 min attended" not in out


def test_each_run_of_check_in_the_developers_text_says_what_stands_there(capsys, monkeypatch):
    monkeypatch.chdir(ROOT)
    runs = re.findall(r"```text\n\$ benchbell (check [^\n]+)\n(.*?)```", DEVELOPERS, re.DOTALL)

    assert len(runs) >= 5
    for command, said in runs:
        words = shlex.split(command)
        args = parser_for(words).parse_args(words)
        args.run(args)
        assert capsys.readouterr().out == said


def test_every_warning_stands_in_the_developers_text():
    table = LANGUAGE.partition("| warning | what it warns of |\n|---|---|\n")[2]

    assert dict(re.findall(r"^\| `([a-z-]+)` \| (.*) \|$", table, re.MULTILINE)) == WARNINGS


def described(form):
    """Every key of a struct of the language with what it means, and of the structs in it."""
    if isinstance(form, kinds.StructType):
        for field in form.fields:
            own = field.type
            yield field.encode_name, (own.extra_json_schema or {}).get("description", "")
    for inner in inner_forms(form):
        yield from described(inner)


def inner_forms(form):
    """The forms inside a form."""
    if isinstance(form, kinds.StructType):
        return [field.type for field in form.fields]
    one = [getattr(form, name, None) for name in ("type", "key_type", "value_type", "item_type")]
    return [inner for inner in (*one, *getattr(form, "types", ())) if inner is not None]


def test_every_key_of_the_language_stands_in_the_developers_text_with_what_it_means():
    table = LANGUAGE.partition("\n### Every key\n")[2].partition("\n###")[0]
    rows = set(re.findall(r"^\| `([a-z_]+)`(?: \*)? \| .*? \| (.*) \|$", table, re.MULTILINE))

    assert {(name, text) for name, text in described(FORM)} - rows == set()


def test_what_the_developers_text_says_can_be_accepted_for_one_part_is_so():
    listed = re.search(r"warnings of an operation that are about one part are (.*?);", LANGUAGE)[1]
    room = ROOT / "backend/benchbell/recipe"
    said = [
        node.args[0].value
        for file in room.glob("*_rules.py")
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and "part" in {keyword.arg for keyword in node.keywords} and node.args
    ]

    assert set(re.findall(r"`([a-z-]+)`", listed)) == set(said)

"""The rooms of plan/ import each other in one direction only, and on the page in the same."""

import ast
import re
from pathlib import Path

import benchbell.plan
import pytest
from build_page import PWA

PLAN = Path(benchbell.plan.__file__).parent
PACKAGE = "benchbell.plan."
ON_THE_PAGE = PWA / "src/plan"

MAY_IMPORT = {
    "model": set(),
    "search": {"model"},
    "crew": {"search", "model"},
    "exact": {"crew", "model"},
    "tasks": {"model"},
    "odds": {"crew", "tasks", "search", "model"},
    "report": {"odds", "tasks", "search", "model"},
}
"""By room, the rooms whose modules it may import. The modules at the top, such as planner, may import all."""


def imported_rooms(file: Path) -> set[str]:
    """The first names after `benchbell.plan.` that a file imports: rooms, or modules at the top."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return {name.removeprefix(PACKAGE).split(".")[0] for name in names if name.startswith(PACKAGE)}


def test_every_room_has_a_row():
    rooms = {folder.parent.name for folder in PLAN.glob("*/__init__.py")}

    assert rooms == set(MAY_IMPORT)


@pytest.mark.parametrize("room", MAY_IMPORT)
def test_a_room_imports_only_the_rooms_below_it(room):
    modules = sorted((PLAN / room).glob("*.py"))
    wrong = {file.name: rooms for file in modules if (rooms := imported_rooms(file) - MAY_IMPORT[room] - {room})}

    assert len(modules) > 1
    assert wrong == {}


def rooms_imported_on_the_page(text: str) -> set[str]:
    """The rooms beside its own, or files above it, from which a file of the page's planner imports."""
    return set(re.findall(r"""from "\.\./(\w+)[/.]""", text))


@pytest.mark.parametrize("room", sorted(folder.name for folder in ON_THE_PAGE.iterdir() if folder.is_dir()))
def test_a_room_of_the_page_imports_only_the_rooms_below_it(room):
    files = sorted((ON_THE_PAGE / room).glob("*.ts"))
    texts = {file.name: file.read_text(encoding="utf-8") for file in files}
    wrong = {
        name: rooms for name, text in texts.items() if (rooms := rooms_imported_on_the_page(text) - MAY_IMPORT[room])
    }

    assert wrong == {}


def test_what_a_room_of_the_page_imports_is_found():
    text = """import { a } from "../model/hours.ts";\nimport type {\n  B,\n} from "../tasks/task.ts";
import { c } from "./c.ts";\nimport { e } from "../planner.ts";\nimport { d } from "../../bench/d.ts";\n"""

    assert rooms_imported_on_the_page(text) == {"model", "planner", "tasks"}

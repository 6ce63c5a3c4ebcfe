"""The house's own rules: arrows between rooms, sizes, twins, and what may never stand in a file."""

import ast
import re
import subprocess
from graphlib import CycleError, TopologicalSorter
from itertools import chain
from pathlib import Path
from statistics import median
from typing import Any, get_args

import pytest
from benchbell.bench.happenings import KINDS
from benchbell.recipe.sheet import ClockKind
from twins import cases

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "backend/benchbell"
PAGE = ROOT / "pwa/src"

MAY_IMPORT = {
    "trade": {"durations", "findings"},
    "recipe": {"durations", "findings", "trade"},
    "bench": {"durations", "findings", "trade", "recipe"},
    "labels": {"durations", "findings", "trade", "recipe", "bench"},
    "buildlog": {"durations", "moments", "findings", "trade", "recipe", "bench", "labels", "picture_size"},
    "store": {"durations", "findings", "trade", "recipe", "bench", "picture_size"},
    "alerts": {
        "durations",
        "moments",
        "findings",
        "trade",
        "recipe",
        "bench",
        "store",
        "settings",
        "machine_clock",
        "bounded_wait",
    },
    "reckon": {"durations", "findings", "trade", "recipe"},
    "plan": {"durations", "findings", "trade", "recipe", "bench"},
    "planner": {
        "durations",
        "moments",
        "findings",
        "trade",
        "recipe",
        "bench",
        "buildlog",
        "plan",
        "store",
        "alerts",
        "settings",
    },
}
"""By room, the rooms and single modules it may reach into. web, cli and the commands may reach into all."""

PURE = ("trade", "recipe", "bench", "plan")
IMPURE_MODULES = {
    "asyncio", "datetime", "os", "pathlib", "random", "secrets", "shutil", "socket", "sqlite3", "subprocess",
    "tempfile", "threading", "time", "uuid", "litestar", "uvicorn",
}  # fmt: skip

TWINS = (
    *(f"recipe/{name}" for name in ("measure", "formula", "arithmetic", "label_code")),
    *(f"alerts/{name}" for name in ("quiet", "schedule")),
    *(
        f"bench/{name}"
        for name in (
            "book",
            "parts",
            "state",
            "air",
            "clock_kinds",
            "unclamped",
            "clocks",
            "sentences",
            "server_clock",
            "shop",
            "sizes",
        )
    ),
)

MOST_LINES, MEDIAN_LINES = 300, 120
REASON = "over 300 lines because"


def modules_of(room: str) -> list[Path]:
    """Every module of a room; a room that is not there fails rather than passes."""
    modules = sorted((PACKAGE / room).rglob("*.py"))
    assert modules, f"no room {room}: rename it in MAY_IMPORT too"
    return modules


def imports_of(file: Path) -> set[str]:
    """Full names of all modules a file imports."""
    nodes = list(ast.walk(ast.parse(file.read_text(encoding="utf-8"))))
    plain = {alias.name for node in nodes if isinstance(node, ast.Import) for alias in node.names}
    return plain | {node.module for node in nodes if isinstance(node, ast.ImportFrom) and node.module}


def tracked() -> list[Path]:
    """Files under version control, and those that are about to be."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT, check=True, capture_output=True, text=True,
    )  # fmt: skip
    return [ROOT / name for name in listed.stdout.splitlines() if (ROOT / name).is_file()]


@pytest.mark.parametrize("room", MAY_IMPORT)
def test_arrows_point_one_way(room):
    for file in modules_of(room):
        rooms = {name.split(".")[1] for name in imports_of(file) if name.startswith("benchbell.")}

        assert rooms <= MAY_IMPORT[room] | {room}, f"{file.name} reaches into {rooms}; pass the value in instead"


def test_every_room_has_its_arrows():
    rooms = {folder.parent.name for folder in PACKAGE.glob("*/__init__.py")}

    assert rooms - {"web", "commands"} == set(MAY_IMPORT)


def module_name(file: Path) -> str:
    """The dotted name of a file of the package; a folder's __init__.py has the folder's name."""
    parts = file.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def import_graph(files: dict[str, Path]) -> dict[str, set[str]]:
    """By module, the modules it imports, anywhere in its text. `from room import module` counts as the module."""
    graph: dict[str, set[str]] = {}
    for name, file in files.items():
        nodes = list(ast.walk(ast.parse(file.read_text(encoding="utf-8"))))
        members = [
            f"{node.module}.{alias.name}" if f"{node.module}.{alias.name}" in files else node.module
            for node in nodes
            if isinstance(node, ast.ImportFrom)
            for alias in node.names
        ]
        plain = [alias.name for node in nodes if isinstance(node, ast.Import) for alias in node.names]
        graph[name] = {imported for imported in (*members, *plain) if imported in files}
    return graph


def circle_in(graph: dict[str, set[str]]) -> list[str]:
    """The modules of one import circle, the first again at the end; empty when there is none."""
    try:
        list(TopologicalSorter(graph).static_order())
    except CycleError as error:
        return list(error.args[1])
    return []


def test_no_module_imports_itself_through_others():
    graph = import_graph({module_name(file): file for file in PACKAGE.rglob("*.py")})

    assert graph["benchbell.cli"] == {"benchbell.findings", "benchbell.commands.terminal_text"}
    assert circle_in(graph) == []


def test_a_circle_through_an_import_inside_a_function_is_found(tmp_path):
    files = {"room.a": tmp_path / "a.py", "room.b": tmp_path / "b.py"}
    files["room.a"].write_text("from room.b import later\n", encoding="utf-8")
    files["room.b"].write_text("def later():\n    from room import a\n", encoding="utf-8")

    assert {"room.a", "room.b"} == set(circle_in(import_graph(files)))


@pytest.mark.parametrize("room", PURE)
def test_pure_rooms_know_no_clock_disk_network_or_chance(room):
    for file in modules_of(room):
        roots = {name.split(".")[0] for name in imports_of(file)}

        assert not roots & IMPURE_MODULES, f"{file.name}: pass time, chance and what is read in as arguments"


@pytest.mark.parametrize("room", MAY_IMPORT)
def test_only_web_knows_the_web_framework(room):
    for file in modules_of(room):
        roots = {name.split(".")[0] for name in imports_of(file)}

        assert not roots & {"litestar", "uvicorn"}, f"{file.name}: let a module of web/ call it instead"


def test_only_the_store_knows_how_records_are_kept():
    naming = [file for file in PACKAGE.rglob("*.py") if re.search("sqlite3|SELECT ", file.read_text(encoding="utf-8"))]

    assert {"store"} == {file.parent.name for file in naming}, f"{naming}: ask store/records.py instead"


@pytest.mark.parametrize("twin", TWINS)
def test_a_twin_stands_under_the_same_name_in_both_languages(twin):
    assert (PACKAGE / f"{twin}.py").is_file()
    assert (PAGE / f"{twin}.ts").is_file()


def kinds_in(value: Any) -> set[str]:
    """Every kind of happening that stands anywhere in a vector."""
    if isinstance(value, list):
        return set().union(*map(kinds_in, value))
    if not isinstance(value, dict):
        return set()
    return set().union({value["kind"]} if isinstance(value.get("kind"), str) else set(), *map(kinds_in, value.values()))


@pytest.mark.parametrize("vectors", ["state", "sentences"])
def test_every_kind_of_happening_has_a_vector(vectors):
    assert set(KINDS) - kinds_in([case["given"] for case in cases(vectors)]) == set()


def test_every_kind_of_clock_has_a_vector():
    asked = [case["given"][5] for case in cases("clocks") if case["ask"] in ("clock_told", "stages_told")]

    assert set(get_args(ClockKind)) - set(asked) == set()


def source_files() -> list[Path]:
    """Python of the package and TypeScript of the page, written by hand."""
    page = [file for file in PAGE.rglob("*.ts*") if not file.name.endswith(".gen.ts")]
    return [file for file in chain(PACKAGE.rglob("*.py"), page) if "page" not in file.relative_to(ROOT).parts[:3]]


def lines_of(file: Path) -> int:
    """How many lines a file has."""
    return len(file.read_text(encoding="utf-8").splitlines())


def test_no_file_is_long_without_saying_why():
    long = [file for file in source_files() if lines_of(file) > MOST_LINES]

    assert [file.name for file in long if REASON not in file.read_text(encoding="utf-8")[:2000]] == []


def test_the_usual_file_is_short():
    assert median(lines_of(file) for file in source_files() if lines_of(file) > 3) <= MEDIAN_LINES


def test_there_is_no_drawer():
    drawers = {"utils", "util", "helpers", "helper", "common", "misc"}

    assert [file.name for file in source_files() if file.stem in drawers] == []


def test_top_level_holds_nothing_else():
    names = {file.relative_to(ROOT).parts[0] for file in tracked()}
    wanted = {"pyproject.toml", "README.md", "DEVELOPERS.md", "LICENSE", "backend", "pwa", "recipes", "tests"}

    assert {name for name in names if not name.startswith(".")} == wanted


def test_no_file_names_a_package_registry():
    hosts = ("pypi" + ".org", "python" + "hosted", "npm" + "js.org", "npm" + "js.com", "deb." + "debian.org")
    texts = [file for file in tracked() if file.suffix not in {".gz", ".png"}]

    assert [file.name for file in texts if any(host in file.read_text(encoding="utf-8") for host in hosts)] == []


def test_names_from_recipes_can_never_become_markup_on_the_page():
    forbidden = ("dangerouslySetInnerHTML", "innerHTML", "insertAdjacentHTML", "document.write")
    pages = list(PAGE.rglob("*.ts*"))

    assert [file.name for file in pages if any(word in file.read_text(encoding="utf-8") for word in forbidden)] == []


def test_no_test_is_skipped():
    marks = (
        "pytest." + "skip",
        "mark." + "skip",
        "mark." + "xfail",
        "importor" + "skip",
        "it." + "skip",
        "test." + "skip",
    )
    tests = [file for file in (ROOT / "tests").rglob("*") if file.suffix in {".py", ".ts"}]

    assert [file.name for file in tests if any(mark in file.read_text(encoding="utf-8") for mark in marks)] == []


def test_no_test_file_imports_from_another():
    tests = (ROOT / "tests").rglob("*.py")
    shared = {
        str(file.relative_to(ROOT)): {name for name in imports_of(file) if re.search(r"(^|\.)test_\w+$", name)}
        for file in tests
    }

    assert {path: found for path, found in shared.items() if found} == {}, "give what both use a module of its own"

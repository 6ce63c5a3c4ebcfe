"""The page's own rules: which room imports which, no circles, and a doc comment on all that is exported."""

import re
from pathlib import Path

import pytest

PAGE = Path(__file__).parent.parent / "pwa/src"

PURE = {"durations.ts", "findings.ts", "tables.gen.ts", "wire.gen.ts"}
ROOT_FILES = PURE | {"moments.ts"}

MAY_IMPORT = {
    "recipe": PURE,
    "bench": PURE | {"recipe"},
    "plan": PURE | {"recipe", "bench"},
    "alerts": ROOT_FILES | {"recipe", "bench"},
    "store": ROOT_FILES | {"recipe", "bench", "alerts"},
    "phone": ROOT_FILES | {"recipe", "bench", "plan", "alerts"},
    "live": ROOT_FILES | {"recipe", "bench", "plan", "alerts", "store", "phone"},
    "controls": ROOT_FILES | {"recipe", "bench", "plan", "alerts", "store", "phone", "live"},
    "screens": ROOT_FILES | {"recipe", "bench", "plan", "alerts", "store", "phone", "live", "controls"},
}
"""By room, the rooms and single files that it may import. The entry points, app.tsx and worker.ts, import anything."""

ENTRY_POINTS = {"app.tsx", "worker.ts"}

IMPORT = re.compile(
    r"""^(?:import|export)\s+(?:type\s+)?(?:[\w*{][^;"'=()]*?\sfrom\s+)?["'](?P<path>[^"']+)["']""", re.MULTILINE
)
WORKER = re.compile(r"""new URL\(\s*["'](?P<path>\.[^"']+)["']\s*,\s*import\.meta\.url""")
DYNAMIC = re.compile(r"""\bimport\(\s*["'](?P<path>[^"']+)["']""")


def files() -> list[Path]:
    """Every TypeScript file of the page, generated ones too."""
    found = [file for file in PAGE.rglob("*.ts*") if file.suffix in {".ts", ".tsx"}]
    assert len(found) > 100
    return found


def name_of(file: Path) -> str:
    """The file's path within the page's source."""
    return file.relative_to(PAGE).as_posix()


def imports_of(file: Path) -> set[str]:
    """What a file imports: files of the page by their path within it, packages by their name. Types count too."""
    text = file.read_text(encoding="utf-8")
    paths = [found["path"] for pattern in (IMPORT, WORKER, DYNAMIC) for found in pattern.finditer(text)]
    own = {name_of((file.parent / path.split("?")[0]).resolve()) for path in paths if path.startswith(".")}
    return own | {path for path in paths if not path.startswith(".")}


def room_of(name: str) -> str:
    """The folder a file stands in at the top; the file's own name where it stands in none."""
    return name.split("/")[0]


def graph() -> dict[str, set[str]]:
    """By file, the files of the page that it imports."""
    known = {name_of(file): imports_of(file) for file in files()}
    return {name: {other for other in found if other in known} for name, found in known.items()}


def circles(imports: dict[str, set[str]]) -> list[list[str]]:
    """Paths that lead back to where they began."""
    found, done = [], set()

    def follow(name: str, path: list[str]) -> None:
        if name in path:
            found.append([*path[path.index(name) :], name])
        elif name not in done:
            for other in sorted(imports[name]):
                follow(other, [*path, name])
            done.add(name)

    for name in imports:
        follow(name, [])
    return found


@pytest.mark.parametrize("room", MAY_IMPORT)
def test_the_pages_arrows_point_one_way(room):
    own = [file for file in files() if room_of(name_of(file)) == room]
    assert own, f"no room {room}: rename it in MAY_IMPORT too"

    for file in own:
        imported = {other for other in imports_of(file) if (PAGE / other).is_file()}
        rooms = {room_of(other) for other in imported if not other.endswith(".css")}

        assert rooms <= MAY_IMPORT[room] | {room}, f"{name_of(file)} imports {rooms - MAY_IMPORT[room] - {room}}"


@pytest.mark.parametrize("room", ["recipe", "bench", "plan", "alerts"])
def test_what_both_languages_work_out_needs_no_package(room):
    for file in (file for file in files() if room_of(name_of(file)) == room):
        packages = {other for other in imports_of(file) if not (PAGE / other).is_file()}

        assert packages == set(), f"{name_of(file)} imports {packages}: pass in what is needed from them"


def test_every_room_of_the_page_has_its_arrows():
    rooms = {room_of(name_of(file)) for file in files()}

    assert rooms - ROOT_FILES - ENTRY_POINTS == set(MAY_IMPORT)


def test_nothing_on_the_page_imports_in_a_circle():
    assert circles(graph()) == []


def test_a_circle_is_found():
    assert circles({"a": {"b"}, "b": {"c"}, "c": {"b"}}) == [["b", "c", "b"]]


@pytest.mark.parametrize(
    ("line", "imported"),
    [
        ('import { a } from "./a.ts";', "a.ts"),
        ('import type { A } from "../a.ts";', "../a.ts"),
        ('import {\n  a,\n  type B,\n} from "./b/a.ts";', "b/a.ts"),
        ('export { a } from "./a.ts";', "a.ts"),
        ('import "./a.css";', "a.css"),
        ('export const a = "./a.ts";', None),
        ('const w = new Worker(new URL("./a.worker.ts", import.meta.url));', "a.worker.ts"),
        ('const a = await import("./a.ts");', "a.ts"),
    ],
)
def test_every_way_to_import_is_seen(tmp_path, monkeypatch, line, imported):
    folder = tmp_path / "src" / "room"
    folder.mkdir(parents=True)
    monkeypatch.setitem(globals(), "PAGE", tmp_path / "src")
    file = folder / "file.ts"
    file.write_text(line, encoding="utf-8")

    assert imports_of(file) == ({name_of((folder / imported).resolve())} if imported else set())


def undocumented(text: str) -> list[str]:
    """Exported functions, components and classes with no doc comment right before them."""
    lines = text.splitlines()
    found = []
    for number, line in enumerate(lines):
        export = re.match(r"export (?:async )?(?:function|class) (\w+)|export const (\w+) = (?:async )?\(", line)
        if export and not (number and lines[number - 1].rstrip().endswith("*/")):
            found.append(export[1] or export[2])
    return found


def test_all_that_the_page_exports_says_what_it_is():
    missing = {name_of(file): undocumented(file.read_text(encoding="utf-8")) for file in files()}

    assert {name: found for name, found in missing.items() if found} == {}


def test_an_export_without_a_doc_comment_is_found():
    text = "/** Gives it. */\nexport function told() {}\n\nexport function untold() {}\nexport const arrow = () => 1;\n"

    assert undocumented(text) == ["untold", "arrow"]

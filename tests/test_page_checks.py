"""The page's own checks, run from here so that one command runs all: its tests, types, rules and build."""

import re
import shutil
import subprocess

import build_page
import pytest


@pytest.fixture(scope="session", autouse=True)
def tools():
    """The types and tools the checks need, as the lock file has them."""
    build_page.write_types()
    build_page.install(for_tests=True)


def run(tool, *arguments, folder=build_page.PWA):
    """Run one of the page's tools; the test fails with its words when it does."""
    command = [build_page.PWA / "node_modules" / ".bin" / tool, *arguments]
    environment = build_page.npm_command()[1] | {"NO_COLOR": "1"}
    outcome = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)

    assert outcome.returncode == 0, outcome.stdout + outcome.stderr


def built(folder, source=build_page.PWA):
    """What a build of the page puts into a folder: contents by path."""
    run("vite", "build", "--outDir", folder, "--emptyOutDir", "--logLevel", "warn", folder=source)
    return {f"/{file.relative_to(folder)}": file.read_bytes() for file in folder.rglob("*") if file.is_file()}


def paths_in(worker):
    """What stands between quotes in a built worker and looks like a path."""
    return {path.decode() for path in re.findall(rb"[`'\"](/[^`'\"]*)[`'\"]", worker)}


def test_the_page_meets_its_tests_and_vectors():
    run("vitest", "run")


@pytest.mark.parametrize("config", ["tsconfig.json", "tsconfig.worker.json", "tsconfig.node.json"])
def test_types_fit(config):
    run("tsc", "-p", config)


def test_rules_of_style_and_rooms_hold():
    run("biome", "check", "--error-on-warnings", "--config-path=.", ".", "../tests")


@pytest.mark.parametrize(
    ("path", "text", "rule"),
    [
        (
            "recipe/planted.ts",
            'import { openDB } from "idb";\n\nexport const planted = openDB;\n',
            "noRestrictedImports",
        ),
        ("recipe/planted.ts", 'import { x } from "../bench/state.ts";\n\nexport const y = x;\n', "noRestrictedImports"),
        ("bench/planted.ts", 'import { x } from "../store/outbox.ts";\n\nexport const y = x;\n', "noRestrictedImports"),
        ("bench/planted.ts", "export const planted = () => Date.now();\n", "noRestrictedGlobals"),
        (
            "plan/model/planted.ts",
            'import { x } from "../../store/outbox.ts";\n\nexport const y = x;\n',
            "noRestrictedImports",
        ),
        ("plan/planted.ts", "export const planted = () => performance.now();\n", "noRestrictedGlobals"),
        (
            "store/planted.ts",
            "async function later() {}\n\nexport const planted = () => {\n  later();\n};\n",
            "noFloating",
        ),
    ],
)
def test_a_room_that_breaks_a_rule_is_caught(tmp_path, path, text, rule):
    shutil.copy(build_page.PWA / "biome.json", tmp_path)
    file = tmp_path / "src" / path
    file.parent.mkdir(parents=True)
    file.write_text(text, encoding="utf-8")

    with pytest.raises(AssertionError, match=rule):
        run("biome", "check", "--config-path=.", ".", folder=tmp_path)


def test_the_same_sources_build_the_same_page(tmp_path):
    assert built(tmp_path / "once") == built(tmp_path / "twice")


def test_the_worker_keeps_every_file_but_itself(tmp_path):
    page = built(tmp_path)
    kept = paths_in(page["/worker.js"])

    assert {"/" if path == "/index.html" else path for path in page} - {"/worker.js"} <= kept
    assert "/worker.js" not in kept


def test_the_worker_is_another_when_a_file_changes(tmp_path):
    source = tmp_path / "pwa"
    shutil.copytree(build_page.PWA, source, ignore=shutil.ignore_patterns("node_modules"))
    (source / "node_modules").symlink_to(build_page.PWA / "node_modules")
    before = built(tmp_path / "before", source)["/worker.js"]
    index = source / "index.html"
    index.write_text(index.read_text(encoding="utf-8").replace("<title>", "<title>New "), encoding="utf-8")

    assert before != built(tmp_path / "after", source)["/worker.js"]


def test_the_lock_file_names_no_address():
    assert "://" not in build_page.LOCK.read_text(encoding="utf-8")

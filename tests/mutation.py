"""Mutation score, one `name: value` a line: how many faults, put in by mutmut one at a time, some test notices.

    .venv/bin/pip install -e '.[mutation]'
    .venv/bin/python tests/mutation.py --many 60 --seed 1

Draws so many of all the mutants of the rooms and runs, for each, the tests that reach its function. A score from a
sample is uncertain: mutation_error_percent is half of its 95 % interval. Mutants that survived are written to
survivors.diff in the work folder. A second run with the same --work asks only what it does not know: mutmut keeps
which test reaches what.

mutmut leaves decorated functions alone, so the handler of /sync itself is not among them. It counts as noticed what ran
longer than its time, and as unnoticed what no test reaches.
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
from argparse import ArgumentDefaultsHelpFormatter, ArgumentParser
from collections.abc import Iterable
from contextlib import chdir
from math import sqrt
from pathlib import Path
from random import Random

ROOT = Path(__file__).parents[1]

ROOMS = {
    "bench": ("bench/*.py", ("tests/bench",)),
    "store": ("store/*.py", ("tests/store", "tests/web/test_photos.py")),
    "alerts": ("alerts/*.py", ("tests/alerts", "tests/web/test_alert_routes.py")),
    "sync": ("web/sync.py", ("tests/web/test_sync.py", "tests/web/test_pairing.py")),
}
"""By room, its files within the package and the tests that are to notice what goes wrong in them."""

LEFT_OUT = (
    *("page_says", "phone_hears", "brought_back", "killed", "month", "under_load", "everything_rings", "never_read"),
    *("lacks_a_stretch", "stretches_put", "what_it_lacks", "rings_on_and_on", "real_program"),
)
"""Parts of names of tests: those that ask the page, or would take many seconds for every mutant that they reach."""

SETTINGS = """
[tool.pytest.ini_options]
addopts = "-q --strict-markers --import-mode=importlib"
pythonpath = ["src", "tests"]

[tool.mutmut]
source_paths = ["src"]
only_mutate = {files}
also_copy = ["recipes", "pwa"]
pytest_add_cli_args = ["-p", "no:cacheprovider", "-p", "no:rerunfailures", "-k", "not ({left_out})"]
pytest_add_cli_args_test_selection = {tests}
track_dependencies = false
use_git_change_detection = false
"""

NOTICED = {1, 3, 24, -24, 36, 152, 255}
"""Exit codes of mutmut for a mutant: tests failed, could not go on, or took too long."""


def prepare(work: Path, rooms: Iterable[str]) -> None:
    """Copy what is needed into the work folder. mutmut finds the package only under src/."""
    copies = {"backend/benchbell": "src/benchbell", "tests": "tests", "recipes": "recipes"}
    for source, target in copies.items():
        ignored = shutil.ignore_patterns("__pycache__", "browser", "page")
        shutil.copytree(ROOT / source, work / target, dirs_exist_ok=True, ignore=ignored)
    (work / "pwa").mkdir(exist_ok=True)
    files = [f"src/benchbell/{ROOMS[room][0]}" for room in rooms]
    tests = [test for room in rooms for test in ROOMS[room][1]]
    text = SETTINGS.format(files=json.dumps(files), tests=json.dumps(tests), left_out=" or ".join(LEFT_OUT))
    (work / "pyproject.toml").write_text(text, encoding="utf-8")


def mutants_of(work: Path, rooms: Iterable[str]) -> list[str]:
    """The names of all mutants of the rooms' files, as mutmut gives them."""
    from mutmut.mutation.file_mutation import mutate_file_contents
    from mutmut.utils.format_utils import get_mutant_name

    found = []
    with chdir(work):  # where mutmut looks for its settings
        for file in sorted(file for room in rooms for file in Path("src/benchbell").glob(ROOMS[room][0])):
            mutated = mutate_file_contents(str(file), file.read_text(encoding="utf-8"))
            found += [get_mutant_name(file, name) for name in mutated.mutant_names]
    return found


def mutmut(work: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run mutmut in the work folder; its words go to mutmut.log there."""
    command = [sys.executable, "-m", "mutmut", *arguments]
    env = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    done = subprocess.run(command, cwd=work, env=env, stdin=subprocess.DEVNULL, capture_output=True, text=True)
    with (work / "mutmut.log").open("a", encoding="utf-8") as log:
        log.write(done.stdout + done.stderr)
    return done


def outcomes(work: Path) -> dict[str, int | None]:
    """By mutant, its exit code; None where it was not tried."""
    found: dict[str, int | None] = {}
    for file in (work / "mutants").rglob("*.meta"):
        found |= json.loads(file.read_text(encoding="utf-8"))["exit_code_by_key"]
    return found


def figures(tried: dict[str, int | None]) -> dict[str, float]:
    """The score, its uncertainty, and what it was taken from."""
    noticed = sum(code in NOTICED for code in tried.values())
    share = noticed / len(tried)
    return {
        "mutants_tried": len(tried),
        "mutants_noticed": noticed,
        "mutation_score_percent": round(100 * share, 1),
        "mutation_error_percent": round(196 * sqrt(share * (1 - share) / len(tried)), 1),
    }


def main() -> None:
    """Draw, try, and print the figures. Ends with 1 where mutmut could not run."""
    asked = ArgumentParser(description="Mutation score of a sample", formatter_class=ArgumentDefaultsHelpFormatter)
    asked.add_argument("--many", type=int, default=60, help="mutants to try")
    asked.add_argument("--seed", type=int, default=1, help="another seed draws others")
    asked.add_argument("--rooms", default=",".join(ROOMS), help="of these rooms")
    asked.add_argument("--at-once", type=int, default=2, help="mutants tried at the same time")
    asked.add_argument("--work", type=Path, help="a folder to keep for the next run; left out: a new one")
    given = asked.parse_args()
    work, rooms = given.work or Path(tempfile.mkdtemp(prefix="mutation-")), given.rooms.split(",")
    work.mkdir(parents=True, exist_ok=True)
    prepare(work, rooms)
    everything = mutants_of(work, rooms)
    drawn = Random(given.seed).sample(everything, min(given.many, len(everything)))
    done = mutmut(work, "run", "--max-children", str(given.at_once), *drawn)
    known = outcomes(work)
    tried = {name: known[name] for name in drawn if known.get(name) is not None}
    if done.returncode or not tried:
        sys.exit(
            f"mutmut ended with {done.returncode}, see {work}/mutmut.log.\n{done.stdout[-2000:]}{done.stderr[-2000:]}"
        )
    print(f"mutants: {len(everything)}")
    for name, value in figures(tried).items():
        print(f"{name}: {value}")
    shown = [mutmut(work, "show", name).stdout for name, code in tried.items() if code not in NOTICED]
    (work / "survivors.diff").write_text("\n".join(shown), encoding="utf-8")
    print(f"Survivors: {work}/survivors.diff", file=sys.stderr)


if __name__ == "__main__":
    main()

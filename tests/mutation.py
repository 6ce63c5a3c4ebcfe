"""Mutation score, one `name: value` a line: how many faults, put in by mutmut one at a time, some test notices.

    .venv/bin/pip install -e '.[mutation]'
    .venv/bin/python tests/mutation.py --many 40 --seed 1

Draws so many mutants of each room and runs, for each, the tests that reach its function. A score from a sample is
uncertain: error_percent is half of its 95 % interval. The score of all rooms counts each by the number of its mutants.
Mutants that survived are written to survivors.diff in the work folder. A second run with the same --work asks only what
it does not know: mutmut keeps which test reaches what.

mutmut leaves decorated functions alone, so the handler of /sync itself is not among them. It counts as noticed what ran
longer than its time, and as unnoticed what no test reaches. The words of the log are left alone, because no test should
pin them. Tests that ask the page are left out: mutants that are tried at the same time would share its process.
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
from argparse import ArgumentDefaultsHelpFormatter, ArgumentParser
from collections.abc import Collection, Iterable, Mapping, Sequence
from contextlib import chdir
from itertools import chain
from math import sqrt
from pathlib import Path
from random import Random
from typing import NamedTuple

ROOT = Path(__file__).parents[1]

ROOMS = {
    "bench": ("bench/*.py", ("tests/bench",)),
    "store": ("store/*.py", ("tests/store", "tests/web/test_photos.py")),
    "alerts": ("alerts/*.py", ("tests/alerts", "tests/web/test_alert_routes.py")),
    "sync": ("web/sync.py", ("tests/web/test_sync.py", "tests/web/test_pairing.py")),
}
"""By room, its files within the package and the tests that are to notice what goes wrong in them."""

SLOW = (
    *("brought_back", "killed", "month", "under_load", "everything_rings", "never_read"),
    *("lacks_a_stretch", "stretches_put", "what_it_lacks", "rings_on_and_on", "real_program"),
)
"""Parts of names of tests that would take many seconds for every mutant that they reach: they are left out."""

NO_PAGE = """

def asks_the_page(item):
    function = getattr(item.function, "hypothesis", None)
    return "ask_the_page" in (function.inner_test if function else item.function).__code__.co_names


def pytest_collection_modifyitems(config, items):
    left_out = [item for item in items if asks_the_page(item)]
    items[:] = [item for item in items if item not in left_out]
    config.hook.pytest_deselected(items=left_out)
"""
"""What is added to the suite's options in the work folder: tests that ask the page are left out."""

SETTINGS = """
[tool.pytest.ini_options]
addopts = "-q --strict-markers --import-mode=importlib"
pythonpath = ["src", "tests"]

[tool.mutmut]
source_paths = ["src"]
only_mutate = {files}
also_copy = ["recipes", "pwa"]
do_not_mutate_patterns = ['^\\s*log\\.\\w+\\(']
pytest_add_cli_args = ["-p", "no:cacheprovider", "-p", "no:rerunfailures", "-k", "not ({slow})"]
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
    with (work / "tests/conftest.py").open("a", encoding="utf-8") as options:
        options.write(NO_PAGE)
    (work / "pwa").mkdir(exist_ok=True)
    files = [f"src/benchbell/{ROOMS[room][0]}" for room in rooms]
    tests = [test for room in rooms for test in ROOMS[room][1]]
    text = SETTINGS.format(files=json.dumps(files), tests=json.dumps(tests), slow=" or ".join(SLOW))
    (work / "pyproject.toml").write_text(text, encoding="utf-8")


def mutants_of(work: Path, room: str) -> list[str]:
    """The names of all mutants of the room's files, as mutmut gives them."""
    from mutmut.mutation.file_mutation import mutate_file_contents
    from mutmut.utils.format_utils import get_mutant_name

    found = []
    with chdir(work):  # where mutmut looks for its settings
        for file in sorted(Path("src/benchbell").glob(ROOMS[room][0])):
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


class Score(NamedTuple):
    """Of so many mutants of a room, how many were tried and noticed."""

    mutants: int
    tried: int
    noticed: int

    @property
    def share(self) -> float:
        """The part of the tried ones that some test noticed."""
        return self.noticed / self.tried

    @property
    def variance(self) -> float:
        """Of the share, as an estimate for all mutants of the room; 0 when all were tried."""
        return self.share * (1 - self.share) / self.tried * (1 - self.tried / self.mutants)


def score_of(mutants: int, tried: Collection[int]) -> Score:
    """The score of one room. tried: the exit codes of those that were tried."""
    return Score(mutants, len(tried), sum(code in NOTICED for code in tried))


def figures(scores: Mapping[str, Score]) -> dict[str, float]:
    """The figures of each room, then those of all, in which a room counts by the number of its mutants."""
    found: dict[str, float] = {}
    for room, score in scores.items():
        found |= {f"{room}_{name}": value for name, value in score._asdict().items()}
        found |= percents(f"{room}_", score.share, score.variance)
    everything = sum(score.mutants for score in scores.values())
    parts = [(score.mutants / everything, score) for score in scores.values()]
    share = sum(part * score.share for part, score in parts)
    return found | percents("mutation_", share, sum(part**2 * score.variance for part, score in parts))


def percents(prefix: str, share: float, variance: float) -> dict[str, float]:
    """A share and half of its 95 % interval, in percent."""
    return {f"{prefix}score_percent": round(100 * share, 1), f"{prefix}error_percent": round(196 * sqrt(variance), 1)}


def exit_codes(work: Path, drawn: Mapping[str, Sequence[str]], at_once: int) -> dict[str, dict[str, int]]:
    """Try the drawn mutants; gives by room, by mutant, its exit code. Ends the program where mutmut could not run."""
    done = mutmut(work, "run", "--max-children", str(at_once), *chain.from_iterable(drawn.values()))
    known = outcomes(work)
    tried = {
        room: {name: code for name in names if (code := known.get(name)) is not None} for room, names in drawn.items()
    }
    if done.returncode or not all(tried.values()):
        said = f"{done.stdout[-2000:]}{done.stderr[-2000:]}"
        sys.exit(f"mutmut ended with {done.returncode}, see {work}/mutmut.log.\n{said}")
    return tried


def main() -> None:
    """Draw, try, and print the figures. Ends with 1 where mutmut could not run."""
    asked = ArgumentParser(description="Mutation score of a sample", formatter_class=ArgumentDefaultsHelpFormatter)
    asked.add_argument("--many", type=int, default=40, help="mutants to try in each room")
    asked.add_argument("--seed", type=int, default=1, help="another seed draws others")
    asked.add_argument("--rooms", nargs="+", choices=ROOMS, default=list(ROOMS), help="of these rooms")
    asked.add_argument("--at-once", type=int, default=2, help="mutants tried at the same time")
    asked.add_argument("--work", type=Path, help="a folder to keep for the next run; left out: a new one")
    given = asked.parse_args()
    work = given.work or Path(tempfile.mkdtemp(prefix="mutation-"))
    work.mkdir(parents=True, exist_ok=True)
    prepare(work, given.rooms)
    mutants = {room: mutants_of(work, room) for room in given.rooms}
    drawn = {room: Random(given.seed).sample(names, min(given.many, len(names))) for room, names in mutants.items()}
    tried = exit_codes(work, drawn, given.at_once)
    scores = {room: score_of(len(mutants[room]), codes.values()) for room, codes in tried.items()}
    for name, value in figures(scores).items():
        print(f"{name}: {value}")
    survivors = [name for codes in tried.values() for name, code in codes.items() if code not in NOTICED]
    shown = [mutmut(work, "show", name).stdout for name in survivors]
    (work / "survivors.diff").write_text("\n".join(shown), encoding="utf-8")
    print(f"Survivors: {work}/survivors.diff", file=sys.stderr)


if __name__ == "__main__":
    main()

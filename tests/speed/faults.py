"""Whether anything is lost, and any alarm early, missed or doubled, under every kind of fault that we know.

Each kind runs on servers and phones of its own: fault_kinds/kinds.py lists them, each with what is injected and what
must hold. A line for each: tries; lost (acknowledged entries that are not there afterwards); early (rings before their
moment by a clock that nobody sets); missed (rings that never came); doubled (rung twice on one device, or twice in the
log); seconds from the end of the fault until the server took an entry again; and what else was promised and not kept.
Then faults_tried and so on, `name: value`. The exit status is 1 when anything but the tries and the seconds is not 0.

--only KIND runs one kind; give it several times for several. --at-once: how many run at the same time, three when left
out: most of the time is waiting for rings. --keep FOLDER keeps what the servers wrote.
"""

import argparse
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:1] = [str(ROOT / "tests"), str(ROOT / "backend")]  # not this folder: its names are packages' there

from speed.fault_kinds.judgement import Outcome
from speed.fault_kinds.kinds import KINDS
from speed.fault_kinds.table import HEAD, line, totals
from speed.fault_kinds.trial import Kind


def tried(kind: Kind, folder: Path) -> tuple[Outcome, float]:
    """The outcome and the seconds it took; a kind that cannot be tried to its end is a broken promise."""
    own, began = folder / kind.name, time.monotonic()
    own.mkdir(parents=True)
    try:
        outcome = kind.inject(own)
    except Exception as error:
        outcome = Outcome(0, broken=(f"could not be tried to its end: {type(error).__name__}: {error}",))
    return outcome, time.monotonic() - began


def main() -> int:
    """Try the kinds; gives the exit status."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--only", action="append", choices=[kind.name for kind in KINDS], metavar="KIND")
    parser.add_argument("--at-once", type=int, default=3, metavar="KINDS")
    parser.add_argument("--keep", type=Path, metavar="FOLDER")
    args = parser.parse_args()
    kinds = [kind for kind in KINDS if args.only is None or kind.name in args.only]
    outcomes = []
    print(HEAD)
    with tempfile.TemporaryDirectory() as temporary, ThreadPoolExecutor(args.at_once) as threads:
        folder = args.keep or Path(temporary)
        for kind, (outcome, took_s) in zip(kinds, threads.map(lambda kind: tried(kind, folder), kinds), strict=True):
            outcomes.append(outcome)
            print(line(kind.name, outcome, took_s), flush=True)
    print(*totals(outcomes), sep="\n")
    return 0 if all(one.held for one in outcomes) else 1


if __name__ == "__main__":
    sys.exit(main())

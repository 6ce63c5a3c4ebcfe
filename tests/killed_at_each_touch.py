"""Work that is killed at its first, its second, its third … touch of the disk, until it is done."""

import os
import subprocess
import sys

KILLED = """
import os, shutil, signal, sys
from pathlib import Path
%(imports)s

given, place = Path(sys.argv[1]), Path(sys.argv[2])
counted = 0

def kill_at(number):
    def hook(event, _):
        global counted
        if event.startswith(("open", "os.", "shutil.", "sqlite3.", "fcntl.", "tempfile.")):
            counted += 1
            if counted == number:
                os.kill(os.getpid(), signal.SIGKILL)
    sys.addaudithook(hook)

for number in range(1, 10_000):
    folder = place / str(number)
    %(before)s
    child = os.fork()
    if child == 0:
        kill_at(number)
        %(work)s
        os._exit(0)
    if os.waitpid(child, 0)[1] == 0:
        break
print(number)
"""


def in_child(program, *words):
    """Run a program of ours in a process of its own."""
    paths = os.pathsep.join(sys.path)
    return subprocess.run(
        [sys.executable, "-c", program, *map(str, words)],
        env={**os.environ, "PYTHONPATH": paths},
        capture_output=True,
        text=True,
        timeout=300,
        check=True,
    )


def killed_at_each_touch(imports, before, work, given, place):
    """How often the work was begun, the last time to its end; each time in place/1, place/2 …

    before: makes `folder` ready, from `given`. work: a line of the program that is killed.
    """
    program = KILLED % {"imports": imports, "before": before, "work": work}
    return int(in_child(program, given, place).stdout)

"""The data folder: two servers on it, a backup put into it, a backup taken of it while phones write."""

import json
import random
import shutil
import subprocess
import threading
import time
from pathlib import Path

from histories.phone import Cut
from speed.fault_kinds.judgement import Outcome
from speed.fault_kinds.server import PATHS, PROGRAM, Server, run
from speed.fault_kinds.trial import Trial, local
from speed.fault_kinds.witness import Witness

CUTS = 5


def two_servers(folder: Path) -> Outcome:
    """A second server is started on the folder of a running one. It refuses; the first goes on, and rings alone."""
    with local(folder) as trial:
        for _ in range(2):
            second = Server(folder, "--local", name="second")
            second.rung_file = trial.server.rung_file  # the bell of one workshop
            try:
                trial.expect(not second.start(), "two servers run on one folder")
                trial.phone.clamp()
                trial.phone.deliver()
                trial.wait_for_rings()
                time.sleep(1)
            finally:
                second.kill()
            trial.tries += 1
            trial.recover()
        return trial.judged()


def restore_over(folder: Path) -> Outcome:
    """A backup is put into a folder that holds other things: keys, a person's notes, a link to elsewhere.

    It is refused and nothing there changes, not even a file's rights; into an empty folder it goes, and serves.
    """
    with local(folder) as trial:
        trial.phone.note()
        trial.phone.deliver()
        backup = folder / "copy.zip"
        made = run("backup", backup, "--data", trial.server.data)
        trial.expect(made.returncode == 0, f"the backup failed: {made.stderr[:200]}")
        taken, elsewhere = folder / "taken", folder / "elsewhere"
        elsewhere.mkdir()
        (elsewhere / "theirs.txt").write_text("not ours", encoding="utf-8")
        for held in ({"notes.txt": "mine"}, {"certificate/authority.key": "a key"}, {"address": "https://x"}):
            taken.mkdir()
            for name, text in held.items():
                (taken / name).parent.mkdir(exist_ok=True)
                (taken / name).write_text(text, encoding="utf-8")
            (taken / "photos").symlink_to(elsewhere)
            before = state_of(folder, taken, elsewhere)
            back = run("restore", backup, "--data", taken)
            trial.expect(back.returncode != 0, f"a backup went into a folder that holds {', '.join(held)}")
            trial.expect(state_of(folder, taken, elsewhere) == before, f"a refused restore changed {', '.join(held)}")
            shutil.rmtree(taken)
            trial.tries += 1
        serve_from(trial, backup, folder / "restored")
        trial.recover()
        return trial.judged()


def state_of(root: Path, *folders: Path) -> dict[str, tuple[int, bytes]]:
    """Every file's rights and content, by its name."""
    files = [file for folder in folders for file in sorted(folder.rglob("*")) if file.is_file()]
    return {str(file.relative_to(root)): (file.stat().st_mode, file.read_bytes()) for file in files}


def serve_from(trial: Trial, backup: Path, target: Path) -> None:
    """Put the backup into an empty folder, and let the server go on from there."""
    back = run("restore", backup, "--data", target)
    trial.expect(back.returncode == 0, f"a backup cannot be put into an empty folder: {back.stderr[:200]}")
    trial.server.kill()
    trial.server.data = target
    trial.expect(trial.server.start(), "the server does not start on what was restored")


def backup_cut(folder: Path) -> Outcome:
    """A backup is cut by SIGKILL while phones write, at one moment after another; then it is let to its end.

    A cut one leaves nothing under its name. What was acknowledged before the whole one began is in it; phones send
    again what it lacks.
    """
    chance = random.Random(3)
    with local(folder) as trial:
        stop = threading.Event()
        writer = threading.Thread(target=write_until, args=(trial.phone, stop))
        writer.start()
        try:
            for n in range(CUTS):
                cut(["backup", str(folder / f"{n}.zip"), "--data", str(trial.server.data)], chance.uniform(0.2, 3))
                trial.expect(whole_or_not_there(folder / f"{n}.zip"), "a cut backup stands there as if it were whole")
                trial.tries += 1
            made = run("backup", folder / "whole.zip", "--data", trial.server.data, seconds=120)
        finally:
            stop.set()
            writer.join()
        trial.expect(made.returncode == 0, f"the backup failed: {made.stderr[:200]}")
        serve_from(trial, folder / "whole.zip", folder / "restored")
        trial.recover()
        return trial.judged()


def write_until(phone: Witness, stop: threading.Event) -> None:
    """Record and sync until told to stop."""
    while not stop.is_set():
        phone.note()
        try:
            phone.deliver(10)
        except Cut:
            return


def cut(words: list[str], seconds: float) -> None:
    """Run a command and kill it after so many seconds, if it has not ended."""
    process = subprocess.Popen(
        [*PROGRAM, *words], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=PATHS
    )
    try:
        process.wait(seconds)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()


def whole_or_not_there(backup: Path) -> bool:
    """Whether the backup is not there, or can be restored."""
    if not backup.exists():
        return True
    target = backup.with_suffix(".tried")
    back = run("restore", backup, "--data", target)
    shutil.rmtree(target, ignore_errors=True)
    return back.returncode == 0


def restore_cut(folder: Path) -> Outcome:
    """A restore is cut by SIGKILL at one moment after another.

    The folder then holds the whole backup or none of it, and the same command goes through when it is given again.
    """
    chance = random.Random(5)
    with local(folder) as trial:
        for _ in range(50):
            trial.phone.note("x" * 2000)
        trial.phone.deliver()
        backup, target = folder / "copy.zip", folder / "restored"
        trial.expect(run("backup", backup, "--data", trial.server.data).returncode == 0, "the backup failed")
        for _ in range(CUTS):
            shutil.rmtree(target, ignore_errors=True)
            cut(["restore", str(backup), "--data", str(target)], chance.uniform(0.2, 2))
            trial.tries += 1
            if run("restore", backup, "--data", target).returncode != 0:
                trial.expect(entries_in(target) == len(trial.phone.log), "a cut restore left a part of the backup")
        shutil.rmtree(target, ignore_errors=True)
        serve_from(trial, backup, target)
        trial.recover()
        return trial.judged()


def entries_in(data: Path) -> int:
    """How many entries a backup of this folder holds."""
    beside = data.with_suffix(".counted.zip")
    made = run("backup", beside, "--json", "--data", data)
    beside.unlink(missing_ok=True)
    return int(json.loads(made.stdout)["happenings"]) if made.returncode == 0 else 0

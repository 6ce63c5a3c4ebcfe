"""`benchbell serve` as a program of its own, on which faults are played, with a bell that writes down when it rang."""

import json
import os
import resource
import shlex
import signal
import subprocess
import sys
import time
from pathlib import Path

import httpx
from ports import free_port
from speed.fault_kinds.judgement import Rung

ROOT = Path(__file__).parents[3]
PROGRAM = (sys.executable, "-c", "import sys; from benchbell.cli import main; sys.exit(main())")
PATHS = {**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT / "backend"), str(ROOT / "tests")])}
"""The environment in which this copy of the program is run, whichever is installed."""

TRIAL_CLOCK = "BENCHBELL_TRIAL_CLOCK"
UPTIME = getattr(time, "CLOCK_BOOTTIME", time.CLOCK_MONOTONIC)

START_S = 90
"""A start that takes longer has failed; a machine with much else to do needs many seconds."""

BELL = f"""
import os, resource, sys, time
now = time.clock_gettime({UPTIME})
resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
with open(sys.argv[1], "a") as file:
    file.write("%.3f %s\\n" % (now, os.environ["BENCHBELL_OPERATION"]))
"""
"""Writes when and for which operation it rang; also while the server that runs it can write no more."""


def uptime_s() -> float:
    """Seconds since the machine's start: nobody sets them."""
    return time.clock_gettime(UPTIME)


def run(*words: object, seconds: float = 60) -> subprocess.CompletedProcess[str]:
    """Run one command of the program to its end."""
    return subprocess.run(
        [*PROGRAM, *map(str, words)],
        capture_output=True,
        text=True,
        timeout=seconds,
        stdin=subprocess.DEVNULL,
        env=PATHS,
    )


class Server:
    """A server on a folder of its own. words: of its command line, beside data, port and bell.

    rung_file: where the bell writes; a second server on the same folder has one of its own. killed_at: when it was
    killed, in seconds of uptime.
    """

    def __init__(self, folder: Path, *words: object, name: str = "server", program: tuple[str, ...] = PROGRAM) -> None:
        self.folder = folder
        self.data = folder / "data"
        self.words = [str(word) for word in words] or ["--local"]
        self.program = program
        self.rung_file = folder / f"{name}.rung"
        self.out = folder / f"{name}.out"
        self.clock_file = folder / "clock.json"
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.process: subprocess.Popen[bytes] | None = None
        self.killed_at: list[float] = []

    def begin(self, full_disk: bool = False) -> None:
        """Set it going without waiting for it. full_disk: it can write to no file."""
        bell = shlex.join([sys.executable, "-I", "-S", "-c", BELL, str(self.rung_file)])
        arguments = ["serve", "--data", str(self.data), "--port", str(self.port), "--bell", bell, *self.words]
        with self.out.open("ab") as out:
            self.process = subprocess.Popen(
                [*self.program, *arguments],
                stdin=subprocess.DEVNULL,
                stdout=out,
                stderr=subprocess.STDOUT,
                env={**PATHS, TRIAL_CLOCK: str(self.clock_file)},
            )
        if full_disk:
            self.fill_disk()  # long before the program has read its own modules

    def wait(self, seconds: float = START_S) -> bool:
        """Whether it answers within so many seconds; false at once when it ends."""
        until = time.monotonic() + seconds
        while self.process is not None and self.process.poll() is None and time.monotonic() < until:
            try:
                httpx.get(self.url, timeout=5)
                return True
            except httpx.TransportError:
                time.sleep(0.05)
        return False

    def start(self, full_disk: bool = False) -> bool:
        """Set it going; gives whether it answers."""
        self.begin(full_disk)
        return self.wait()

    def kill(self) -> None:
        """End it at once, as a cut of power does."""
        self.killed_at.append(uptime_s())
        self.send(signal.SIGKILL)

    def stop(self) -> None:
        """End it in good order."""
        self.send(signal.SIGTERM)

    def send(self, number: signal.Signals) -> None:
        """Send the signal and wait for the end; one that does not end is killed."""
        if self.process is None:
            return
        self.process.send_signal(number)
        try:
            self.process.wait(15)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        self.process = None

    def suspend(self) -> None:
        """Let it stand still, as a closed lid does."""
        self.running_process().send_signal(signal.SIGSTOP)

    def resume(self) -> None:
        """Let it run on."""
        self.running_process().send_signal(signal.SIGCONT)

    def fill_disk(self) -> None:
        """From now on it can write to no file."""
        resource.prlimit(self.running_process().pid, resource.RLIMIT_FSIZE, (0, resource.RLIM_INFINITY))

    def make_room(self) -> None:
        """It can write again."""
        resource.prlimit(self.running_process().pid, resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY,) * 2)

    def running_process(self) -> subprocess.Popen[bytes]:
        """The process. Raises RuntimeError when it does not run."""
        if self.process is None:
            raise RuntimeError("the server does not run")
        return self.process

    def set_clock(self, seconds: float, boot: str = "", trusted: bool = False) -> None:
        """Set the machine's time of day so many seconds off; boot: the name of another boot."""
        state = {"set_ms": int(1000 * seconds), "boot": boot, "trusted": trusted}
        beside = self.clock_file.with_suffix(".new")
        beside.write_text(json.dumps(state), encoding="utf-8")
        beside.replace(self.clock_file)

    def rung(self) -> list[Rung]:
        """What the bell rang so far."""
        lines = self.rung_file.read_text(encoding="utf-8").splitlines() if self.rung_file.exists() else []
        return [Rung(name, float(at)) for at, _, name in (line.partition(" ") for line in lines)]

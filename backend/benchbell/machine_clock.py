"""The machine's own clocks: the time of day, which may be set, and the time since its start, which may not.

settings.py hands them to the server; alerts/server_clock.py makes of them a clock that never jumps.
"""

import ctypes
import os
import time
import uuid
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Protocol

import msgspec
from msgspec import Struct

BOOT_ID = Path("/proc/sys/kernel/random/boot_id")
SYNCHRONIZED = Path("/run/systemd/timesync/synchronized")
"""Made by systemd's client once it has set the clock; it stays when somebody else sets it then."""

TIME_ERROR = 5
"""What adjtimex(2) answers until some service has set the clock."""

PROCESS = uuid.uuid4().hex
"""Stands for the boot where the machine names none: then every start of the program counts as one."""

TRIAL_CLOCK = "BENCHBELL_TRIAL_CLOCK"
"""The environment variable that names a trial's file; see Trial."""


class MachineClock(Protocol):
    """What the server asks of the machine it runs on. Times are whole ms."""

    def __call__(self) -> int:
        """The time of day, since 1970 UTC. A person or the network may set it."""
        ...

    def uptime(self) -> int:
        """A count that nobody sets, and that runs on while the machine sleeps. It begins anew with each boot."""
        ...

    def boot(self) -> str:
        """Names the boot since which `uptime` counts."""
        ...

    def is_trusted(self) -> bool:
        """Whether the system vouches for the time of day: some service has set it since the boot."""
        ...


class Machine:
    """The clocks of the machine that this runs on.

    On Linux `uptime` counts sleep and outlives a restart of the program; elsewhere it is the monotonic clock, which on
    macOS counts sleep too, and a restart of the program counts as a boot.
    """

    def __call__(self) -> int:
        """See MachineClock."""
        return time.time_ns() // 1_000_000

    def uptime(self) -> int:
        """See MachineClock."""
        return time.clock_gettime_ns(CLOCK) // 1_000_000 if CLOCK is not None else time.monotonic_ns() // 1_000_000

    def boot(self) -> str:
        """See MachineClock."""
        return boot_id()

    def is_trusted(self) -> bool:
        """See MachineClock."""
        vouches = kernel_vouches()
        return SYNCHRONIZED.exists() if vouches is None else vouches


CLOCK: int | None = getattr(time, "CLOCK_BOOTTIME", getattr(time, "CLOCK_MONOTONIC", None))


@cache
def boot_id() -> str:
    """The kernel's name for this boot; the process's own where there is none, or where uptime is no boot time."""
    try:
        return BOOT_ID.read_text(encoding="ascii").strip() if hasattr(time, "CLOCK_BOOTTIME") else PROCESS
    except OSError:
        return PROCESS


def kernel_vouches() -> bool | None:
    """Whether the Linux kernel counts its clock as set by a service and by nobody since; None where it says nothing."""
    ask = adjtimex()
    answer = -1 if ask is None else ask(ctypes.create_string_buffer(512))  # struct timex, all zero: modes 0 only reads
    return None if answer < 0 else answer != TIME_ERROR


@cache
def adjtimex() -> Callable[..., int] | None:
    """The C library's adjtimex; None where it has none."""
    try:
        found: Callable[..., int] = ctypes.CDLL(None).adjtimex
        return found
    except (AttributeError, OSError, TypeError):
        return None


class TrialState(Struct, frozen=True):
    """What a trial's file says.

    passed_ms: time that is to have passed beside the real one. set_ms: how far the time of day is set, less below
    zero. boot: another boot's name. trusted: whether the system vouches for the time of day.
    """

    passed_ms: int = 0
    set_ms: int = 0
    boot: str = ""
    trusted: bool = False


class Trial:
    """The machine's clocks as a trial wants them, read anew from a JSON file whenever the time is asked for.

    For tests and for trials of faults, through a server that really runs: the file lets hours pass, sets the clock
    forward or back, and boots the machine anew between two starts. To be replaced in one go (write beside it, then
    rename); while it is missing nothing is changed.
    """

    def __init__(self, file: Path, machine: MachineClock) -> None:
        self.file = file
        self.machine = machine

    def state(self) -> TrialState:
        """What the file says now. Raises msgspec.DecodeError for one not of its form: a trial must not pass by."""
        try:
            return msgspec.json.decode(self.file.read_bytes(), type=TrialState)
        except FileNotFoundError:
            return TrialState()

    def __call__(self) -> int:
        """See MachineClock."""
        state = self.state()
        return self.machine() + state.passed_ms + state.set_ms

    def uptime(self) -> int:
        """See MachineClock."""
        return self.machine.uptime() + self.state().passed_ms

    def boot(self) -> str:
        """See MachineClock."""
        return self.machine.boot() + self.state().boot

    def is_trusted(self) -> bool:
        """See MachineClock."""
        return self.state().trusted


def machine_clock() -> MachineClock:
    """This machine's clocks; a trial's where the environment names its file."""
    trial = os.environ.get(TRIAL_CLOCK)
    return Trial(Path(trial), Machine()) if trial else Machine()

"""How a server is configured. The machine's clock and its randomness enter the program here and nowhere else."""

import os
from collections.abc import Callable
from importlib import resources
from pathlib import Path

from msgspec import Struct

from benchbell.machine_clock import MachineClock, machine_clock

MACHINE: MachineClock = machine_clock()
"""The clocks of this machine, or of a trial: `BENCHBELL_TRIAL_CLOCK=FILE` names a file that sets them (see Trial)."""


def now_ms() -> int:
    """The machine's time of day, in whole milliseconds since 1970 UTC."""
    return MACHINE()


def inside_package(name: str) -> Path:
    """The path of a folder inside the installed package."""
    return Path(str(resources.files("benchbell") / name))


def shipped_recipes() -> Path:
    """The folder of recipes that come with the program: in the package, or at the root of a working copy."""
    packed = inside_package("shipped")
    return packed if packed.exists() else inside_package("").parent.parent / "recipes"


class Settings(Struct, frozen=True):
    """How this server runs.

    data: folder of the database, photos and keys. recipes: folders; of two recipes with one name, the earlier folder's
    is used. page: folder of the built page. local: serve this machine only, without pairing. welcome: a welcome page is
    served beside it over http. machine: its clocks. clock: server time, ms since 1970 UTC; while the server runs it is
    alerts/server_clock.py's, which never jumps. random_bytes: that many random bytes. bell: the words of a command to
    run when a clock is due. contact: "mailto:…" or "https://…" for push services, or "". loopback_push: allow pushes to
    this machine, for tests. prove_s: seconds for which an exact solver, if installed, works on each plan; 0 for none.
    backup_to: a folder for a backup a day, or None. keep_backups: how many of them to keep.
    """

    data: Path
    recipes: tuple[Path, ...]
    page: Path
    local: bool = False
    welcome: bool = False
    machine: MachineClock = MACHINE
    clock: Callable[[], int] = now_ms
    random_bytes: Callable[[int], bytes] = os.urandom
    bell: tuple[str, ...] = ()
    contact: str = ""
    loopback_push: bool = False
    prove_s: float = 0
    backup_to: Path | None = None
    keep_backups: int = 14

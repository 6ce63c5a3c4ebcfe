"""What the server is told when it starts; time and chance come in here and nowhere else."""

import os
import time
from collections.abc import Callable
from importlib import resources
from pathlib import Path

from msgspec import Struct


def now_ms() -> int:
    """The machine's clock, whole milliseconds since 1970 UTC."""
    return time.time_ns() // 1_000_000


def inside_package(name: str) -> Path:
    """A folder that comes with the program."""
    return Path(str(resources.files("benchbell") / name))


def shipped_recipes() -> Path:
    """The recipes that come with the program: inside the package, or beside it in a working copy."""
    packed = inside_package("shipped")
    return packed if packed.exists() else inside_package("").parent.parent / "recipes"


class Settings(Struct, frozen=True):
    """How this server is to run.

    data: folder of the records. recipes: folders, the first that has a name wins. page: folder of the built page.
    local: for this machine alone, without pairing. clock: ms since 1970 UTC.
    bell: a command to run when a clock is due, in words. contact: "mailto:…" or "https://…", for push services.
    loopback_push: pushes may go to this machine, for tests. prove_s: seconds for which an exact solver, where one is
    installed, thinks on about each plan; 0 for not at all.
    """

    data: Path
    recipes: tuple[Path, ...]
    page: Path
    local: bool = False
    clock: Callable[[], int] = now_ms
    random_bytes: Callable[[int], bytes] = os.urandom
    bell: tuple[str, ...] = ()
    contact: str = ""
    loopback_push: bool = False
    prove_s: float = 0

"""A folder in which something is made before it gets its name, so that a cut leaves nothing half done under it."""

import fcntl
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import mkdtemp

PREFIX = ".benchbell-work-"


@contextmanager
def workplace_in(parent: Path) -> Iterator[Path]:
    """A new folder in `parent` that only this user can enter; it is deleted at the end of the block.

    First those are deleted that a killed run left behind. Raises OSError.
    """
    clear_abandoned(parent)
    place, handle = locked_folder(parent)
    try:
        yield place
    finally:
        shutil.rmtree(place, ignore_errors=True)
        os.close(handle)


def clear_abandoned(parent: Path) -> None:
    """Delete the workplaces that killed runs left behind: in them nobody works, as their locks show."""
    for old in parent.glob(f"{PREFIX}*"):
        delete_abandoned(old)


def locked_folder(parent: Path) -> tuple[Path, int]:
    """A new folder, and its lock's handle. Raises OSError."""
    while True:
        place = Path(mkdtemp(dir=parent, prefix=PREFIX))
        handle = os.open(place, os.O_RDONLY)
        with suppress(OSError):  # a file system without locks
            fcntl.flock(handle, fcntl.LOCK_EX)
        if place.is_dir():  # otherwise another run took it for abandoned before it was locked
            return place, handle
        os.close(handle)


def delete_abandoned(place: Path) -> None:
    """Delete the folder unless somebody works in it, or it cannot be locked. Never follows a link."""
    with suppress(OSError):
        handle = os.open(place, os.O_RDONLY | os.O_NOFOLLOW | os.O_DIRECTORY)
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            shutil.rmtree(place, ignore_errors=True)
        finally:
            os.close(handle)

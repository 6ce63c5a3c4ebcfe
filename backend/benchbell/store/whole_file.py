"""Writing a file so that it is there whole or not at all, also after a power cut."""

import os
import re
import tempfile
from contextlib import suppress
from pathlib import Path

UNFINISHED = re.compile(r"\.[a-z0-9_]{8}")
"""Names of what `write_whole` was writing when it was killed, as tempfile makes them behind a dot."""


def write_whole(place: Path, body: bytes) -> None:
    """Write a file that only this user can read; it replaces an earlier one at once. Raises OSError.

    What is half written has such a name as UNFINISHED says.
    """
    make_folder(place.parent)
    handle, name = tempfile.mkstemp(dir=place.parent, prefix=".")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(body)
            file.flush()
            os.fsync(file.fileno())
        Path(name).replace(place)
    except OSError:
        with suppress(OSError):
            Path(name).unlink(missing_ok=True)
        raise
    sync_to_disk(place.parent)


def make_folder(folder: Path) -> None:
    """Make a folder that only this user can enter, and those above it; their names are on disk then. Raises OSError."""
    if folder.is_dir():
        return
    try:
        folder.mkdir(mode=0o700, exist_ok=True)
    except FileNotFoundError:
        make_folder(folder.parent)
        folder.mkdir(mode=0o700, exist_ok=True)
    sync_to_disk(folder.parent)


def sync_to_disk(path: Path) -> None:
    """Wait until a file, or a folder's list of names, is on the disk itself. Raises OSError."""
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)

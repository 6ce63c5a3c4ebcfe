"""One server at a time on a data folder: two would both ring, and each would know only half of what happens."""

import errno
import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from benchbell.findings import Refused

NOT_KNOWN_HERE = (errno.ENOSYS, errno.EOPNOTSUPP, errno.EINVAL, errno.EBADF, errno.ENOLCK)
"""A file system, such as some on a network, that cannot lock a folder."""


def is_served(folder: Path) -> bool:
    """Whether a server holds the data folder now; False where the file system knows no such locks."""
    try:
        with only_server_on(folder):
            return False
    except Refused:
        return True
    except OSError:
        return False


@contextmanager
def only_server_on(folder: Path) -> Iterator[None]:
    """Hold the data folder while the block runs. Commands beside the server do not ask for it.

    The lock is the kernel's (flock(2)) on the folder itself. It needs no room on the disk, and ends with the process,
    however that ends. Where the file system knows no such locks there is none. Raises Refused when another process
    holds it.
    """
    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError as error:
        os.close(handle)
        raise Refused(
            f"Another server runs on {folder}.", "Stop it first, or choose another folder with --data."
        ) from error
    except OSError as error:
        if error.errno not in NOT_KNOWN_HERE:
            os.close(handle)
            raise
    try:
        yield
    finally:
        os.close(handle)

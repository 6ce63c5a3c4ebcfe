"""A full disk for a real program, without mounting anything.

The kernel refuses every write to a file at or beyond RLIMIT_FSIZE (setrlimit(2)), and prlimit(2) sets that limit for a
process that already runs. With a limit of 0 no file can be written at all, which is stricter than a full disk: there,
blocks that a file has already may still be overwritten. The error is EFBIG in place of ENOSPC. Pipes and sockets go
on working. The limit passes to children; `ROOM` in a child makes room for it alone.
"""

import resource

NO_LIMIT = resource.RLIM_INFINITY

ROOM = "import resource; resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY,) * 2); "
"""Put before a child's program, it may write although the program that started it may not."""


def fill_disk_of(process: int) -> None:
    """From now on the process with this id, 0 for this one, can write to no file."""
    resource.prlimit(process, resource.RLIMIT_FSIZE, (0, NO_LIMIT))


def make_room_for(process: int) -> None:
    """The process can write again."""
    resource.prlimit(process, resource.RLIMIT_FSIZE, (NO_LIMIT, NO_LIMIT))


def starting_full() -> None:
    """For `preexec_fn`: the program begins its life on a full disk."""
    fill_disk_of(0)

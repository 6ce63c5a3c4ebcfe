"""Whether the disk has room, told in the server's log once when that changes."""

import structlog

from benchbell.store.errors import DiskFull

log = structlog.get_logger()


class DiskRoom:
    """What was last known of the disk's room. what: is written there, such as "records"."""

    def __init__(self, what: str) -> None:
        self.what = what
        self.is_full = False

    def note_failed(self, error: BaseException) -> None:
        """Something could not be written; only a full disk is told."""
        if isinstance(error, DiskFull) and not self.is_full:
            self.is_full = True
            log.error(f"no {self.what} can be kept", why=error.what, next_step=error.next_step)

    def note_written(self) -> None:
        """Something was written."""
        if self.is_full:
            self.is_full = False
            log.warning(f"{self.what} can be kept again", why="the disk has room")

"""A backup a day while the server runs, into the folder of `serve --backup-to`."""

import asyncio
from pathlib import Path

import structlog

from benchbell.durations import HOUR_MS
from benchbell.findings import Refused
from benchbell.settings import Settings
from benchbell.store.backup_folder import back_up_into, due_in_ms

log = structlog.get_logger()

LOOK_AGAIN_MS = HOUR_MS
"""At most so long between two looks: a timer does not count the time that the machine sleeps, and a disk may come."""


async def back_up_daily(settings: Settings, folder: Path) -> None:
    """Make a backup whenever the newest in the folder is a day old, until cancelled."""
    while True:
        wait_ms = await asyncio.to_thread(back_up_if_due, settings, folder)
        await asyncio.sleep(wait_ms / 1000)


def back_up_if_due(settings: Settings, folder: Path) -> int:
    """Make a backup if it is time; gives the ms until the next look. What goes wrong is logged."""
    try:
        due = due_in_ms(folder, settings.clock())
        if due > 0:
            return min(due, LOOK_AGAIN_MS)
        made = back_up_into(settings.data, folder, settings.clock(), settings.keep_backups, with_damage=True)
        log.info("backed up", file=made.file, happenings=made.happenings, files=made.files, damaged=len(made.damaged))
        if made.fuller:
            log.warning("an older backup holds more entries, so none was deleted", older=made.fuller)
    except Refused as error:
        log.error("backup failed", why=error.what, next_step=error.next_step)
    except Exception as error:
        log.error("backup failed", exc_info=error)
    return LOOK_AGAIN_MS

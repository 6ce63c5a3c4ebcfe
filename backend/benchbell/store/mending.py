"""Putting damaged records right at a start, where nothing is lost by it.

New records are made whole and on the disk, then named MENDED. From then on they count: all that is left is to set the
damaged ones aside and to give the new ones their name, which the next start does when this one is killed meanwhile.
"""

import sqlite3
from contextlib import closing, suppress
from itertools import count
from pathlib import Path

from benchbell.store.connection import connect
from benchbell.store.database import FILE_NAME, MENDED, check_file, check_not_lost, prepare
from benchbell.store.errors import Damaged, StoreError, disk_error, in_words
from benchbell.store.salvage import DISPENSABLE, save_into
from benchbell.store.whole_file import sync_to_disk
from benchbell.store.workplace import clear_abandoned, workplace_in

LOOK = "Look at the disk: it may be failing. The damaged file is kept in {folder}, as the last .damaged-…-{name}."


def prepare_mended(folder: Path) -> str:
    """`prepare` for a server that holds the folder, which puts damaged records right first.

    Gives what to tell a person, "" for records without damage. Raises Damaged when something is gone that a server
    needs, StoreError.
    """
    sentences = ""
    clear_abandoned(folder)
    if finish(folder):
        sentences = f"The records were damaged and have been put right. {look(folder)}"
    try:
        prepare(folder)
    except Damaged:
        sentences = mend(folder)
        prepare(folder)
    return sentences


def mend(folder: Path) -> str:
    """Put new records in the place of damaged ones from which nothing is gone that a server needs.

    Gives what to tell a person, "" for records without damage. The damaged file is kept. Raises Damaged when something
    is gone, StoreError when the disk fails.
    """
    file = folder / FILE_NAME
    check_not_lost(file)
    if not file.exists() or fault_of(file) is None:
        return ""
    try:
        with workplace_in(folder) as place:
            saved = save_into(file, place / FILE_NAME)
            if not saved.is_whole:
                raise fault_of(file) or Damaged(f"{file} is damaged.", "")
            sync_to_disk(place / FILE_NAME)
            (place / FILE_NAME).rename(folder / MENDED)
        finish(folder)
    except OSError as error:
        raise disk_error(error, folder) from error
    noticed = " ".join(DISPENSABLE[name] for name in saved.unread if DISPENSABLE[name])
    return (
        f"The records were damaged and have been put right: all {saved.happenings:,} entries are there. "
        f"{noticed}{' ' if noticed else ''}{look(folder)}"
    )


def finish(folder: Path) -> bool:
    """Set damaged records aside and give the mended ones their name; false where there are no mended ones.

    Raises StoreError when the disk fails.
    """
    mended, file = folder / MENDED, folder / FILE_NAME
    if not mended.exists():
        return False
    aside = next(name for n in count(1) if not (name := folder / f".damaged-{n}-{FILE_NAME}").exists())
    try:
        sync_to_disk(folder)
        for end in ("-shm", "-wal", ""):  # the file last: until then the next start takes the same number
            with suppress(FileNotFoundError):
                file.with_name(f"{FILE_NAME}{end}").rename(aside.with_name(f"{aside.name}{end}"))
        sync_to_disk(folder)
        mended.rename(file)
        sync_to_disk(folder)
    except OSError as error:
        raise disk_error(error, folder) from error
    return True


def look(folder: Path) -> str:
    """Where the damaged file is, and what to do."""
    return LOOK.format(folder=folder, name=FILE_NAME)


def fault_of(file: Path) -> StoreError | None:
    """The damage that keeps a server from starting; None where there is none."""
    try:
        with closing(connect(file)) as db:
            check_file(db, file)
    except sqlite3.Error as error:
        return in_words(error, file)
    except Damaged as error:
        return error
    return None

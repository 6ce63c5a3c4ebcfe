"""A folder of backups: one a day, named by its moment, and only so many."""

from collections.abc import Iterator
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

from msgspec.structs import replace

from benchbell.durations import DAY_MS, HOUR_MS
from benchbell.findings import Refused
from benchbell.store.backup import Backup, back_up
from benchbell.store.backup_zip import happenings_in, is_backup
from benchbell.store.whole_file import write_whole

NAME = "benchbell-%Y-%m-%dT%H%M%SZ.zip"
"""In UTC, so that the order of names is the order of time. Only files with such a name are ever deleted."""

NOTE = "backup-folder"
"""The file in the data folder that says where the last backup was written."""


def dated(now_ms: int) -> str:
    """The name of a backup made at this moment."""
    return datetime.fromtimestamp(now_ms // 1000, UTC).strftime(NAME)


def moment_in(name: str) -> int | None:
    """The moment in a backup's name, in ms; None for any other name."""
    try:
        return round(datetime.strptime(name, NAME).replace(tzinfo=UTC).timestamp() * 1000)
    except ValueError:
        return None


def dated_backups(folder: Path, now_ms: int) -> list[Path]:
    """The dated backups, the newest first; those from the future, made while the clock was ahead, last."""
    named = [(moment, file) for file, moment in dated_files(folder)]
    return [file for _, file in sorted(named, key=lambda one: (one[0] <= now_ms, one[0]), reverse=True)]


def dated_files(folder: Path) -> Iterator[tuple[Path, int]]:
    """Plain files with a dated name, each with its moment. Raises OSError."""
    for file in folder.iterdir():
        moment = moment_in(file.name)
        if moment is not None and file.is_file() and not file.is_symlink():
            yield file, moment


def due_in_ms(folder: Path, now_ms: int) -> int:
    """How long until the next daily backup, 0 for now. Raises Refused when the folder is not there."""
    check_there(folder)
    past = [moment for _, moment in dated_files(folder) if moment <= now_ms + HOUR_MS]
    return max(0, max(past, default=0) + DAY_MS - now_ms)


def check_there(folder: Path) -> None:
    """Raises Refused when it is no folder. It is never made: where a disk is not plugged in, it would fill another."""
    if not folder.is_dir():
        raise Refused(f"The folder of backups {folder} is not there.", "Plug in its disk, or make the folder.")


def back_up_into(data: Path, folder: Path, now_ms: int, keep: int | None, with_damage: bool = False) -> Backup:
    """Write a dated backup, read it back, and only then delete the oldest beyond `keep`; None deletes nothing.

    Nothing is deleted either when something in the records is damaged, or an older backup holds more than this one.
    Raises Refused and StoreError as `back_up` does, and Refused when the folder is not there.
    """
    check_there(folder)
    made = back_up(data, folder / dated(now_ms), with_damage)
    note_folder(data, folder)
    others = [file for file in dated_backups(folder, now_ms) if file != Path(made.file)]
    fuller = next((file for file in others if happenings_in(file) > made.happenings), None)
    if made.damaged or made.damaged_entries or fuller:  # an older one may hold what this one has lost
        return replace(made, fuller="" if fuller is None else str(fuller))
    for old in others[keep - 1 :] if keep is not None else ():
        with suppress(OSError):  # the next backup tries again
            old.unlink()
    return made


def note_folder(data: Path, folder: Path) -> None:
    """Note where backups are, for a rehearsal. On a full disk it is left."""
    with suppress(OSError):
        write_whole(data / NOTE, f"{folder.absolute()}\n".encode())


def newest_backup(data: Path, where: Path | None) -> Path:
    """The backup `where`, or the newest in that folder; without one, in the folder of the last backup.

    Raises Refused when there is none.
    """
    if where is None:
        try:
            where = Path((data / NOTE).read_text(encoding="utf-8").strip())
        except OSError as error:
            raise Refused(f"No backup of {data} was made yet.", "Make one: benchbell backup FILE.") from error
    if not where.is_dir():
        return where
    found = sorted(where.glob("*.zip"), key=lambda file: file.stat().st_mtime, reverse=True)
    newest = next((file for file in found if is_backup(file)), None)
    if newest is None:
        raise Refused(f"There is no backup in {where}.", "Make one: benchbell backup FILE.")
    return newest

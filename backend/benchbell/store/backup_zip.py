"""The zip that is a backup: what it may hold, and unpacking it without trusting it."""

import os
import shutil
import stat
import zipfile
import zlib
from collections.abc import Iterator, Sequence
from pathlib import Path, PurePosixPath

import msgspec
from msgspec import Struct

from benchbell.findings import Refused, counted
from benchbell.store.database import FILE_NAME
from benchbell.store.whole_file import make_folder, sync_to_disk

SQLITE_FILES = tuple(f"{FILE_NAME}{end}" for end in ("", "-wal", "-shm", "-journal"))
"""SQLite's own files; the first is copied through SQLite only, the others never."""

CONTENTS_NAME = "backup.json"
"""In the zip only: what the zip has to hold."""

MOST_FILES = 1_000_000
SPARE_BYTES = 50_000_000
"""Left free on the disk by a restore, for the write-ahead log of the server that starts then."""

CHUNK_BYTES = 1_000_000
UNREADABLE = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError, OverflowError)
"""What the standard library raises over a zip that is cut off, damaged, encrypted or made up."""


class Contents(Struct, frozen=True):
    """What a backup holds. tables: rows by table. files: how many others there are beside the records."""

    tables: dict[str, int]
    files: int


def not_whole(backup: Path, why: str) -> Refused:
    """The refusal of a zip that is no backup, or only a part of one."""
    return Refused(f"{backup} is not a whole backup of Benchbell: {why}.", "Try the backup before it.")


def is_backup(file: Path) -> bool:
    """Whether the file is a zip with records in it."""
    try:
        with zipfile.ZipFile(file) as archive:
            return FILE_NAME in archive.namelist()
    except (OSError, *UNREADABLE):
        return False


def happenings_in(backup: Path) -> int:
    """How many happenings a backup says it holds; 0 for one that does not say it, or cannot be read."""
    try:
        with zipfile.ZipFile(backup) as archive:
            contents = contents_of(archive, backup, archive.infolist())
    except (OSError, Refused, *UNREADABLE):
        return 0
    return contents.tables.get("happening", 0) if contents else 0


def unpack(backup: Path, folder: Path) -> Contents | None:
    """Unpack a backup into a new folder, each file fsynced; gives what it says it holds, None for one of old.

    Raises Refused when it cannot be read, is not a whole backup, or does not fit; OSError when it cannot be written.
    """
    try:
        archive = zipfile.ZipFile(backup)
    except OSError as error:
        raise Refused(f"{backup} cannot be read ({error.strerror}).", "Name a backup that is there.") from error
    except UNREADABLE as error:
        raise not_whole(backup, "it is no zip, or its end is missing") from error
    with archive:
        members = [member for member in archive.infolist() if not member.is_dir()]
        check_members(backup, members)
        check_room(members, folder.parent)
        contents = contents_of(archive, backup, members)
        files = [member for member in members if member.filename != CONTENTS_NAME]
        if contents is not None and contents.files != len(files) - 1:
            held = counted(len(files) - 1, "file")
            raise not_whole(backup, f"it holds {held} beside the records, not {contents.files}")
        make_folder(folder)
        for member in files:
            write_member(archive, backup, member, folder)
    return contents


def check_members(backup: Path, members: Sequence[zipfile.ZipInfo]) -> None:
    """Raises Refused unless every member is a plain file with a name that lands inside the folder, each once."""
    names = {member.filename for member in members}
    if FILE_NAME not in names:
        raise not_whole(backup, "there are no records in it")
    if len(members) > MOST_FILES or len(names) != len(members):
        raise not_whole(backup, "it holds a name twice, or too many")
    for member in members:
        if not fits_in_a_folder(member, names):
            raise not_whole(backup, f"it holds {member.filename[:100]!r}, which no backup does")


def fits_in_a_folder(member: zipfile.ZipInfo, names: set[str]) -> bool:
    """Whether it is a plain file, not encrypted, whose path stays inside and crosses no other's."""
    path = PurePosixPath(member.filename)
    kind = stat.S_IFMT(member.external_attr >> 16)
    return (
        str(path) == member.filename
        and not path.is_absolute()
        and not any(part.startswith(".") for part in path.parts)
        and member.filename.isprintable()
        and "\\" not in member.filename
        and member.filename not in SQLITE_FILES[1:]
        and not any(str(parent) in names for parent in path.parents)
        and kind in (0, stat.S_IFREG)
        and member.compress_type in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
        and not member.flag_bits & 1
    )


def check_room(members: Sequence[zipfile.ZipInfo], parent: Path) -> None:
    """Raises Refused when the files as they say they are do not fit on the disk with this folder."""
    needed = sum(member.file_size for member in members) + SPARE_BYTES
    free = shutil.disk_usage(parent).free
    if needed > free:
        raise Refused(
            f"The backup needs {needed / 1e6:,.0f} MB, and the disk has {free / 1e6:,.0f} MB free.",
            "Make room, or choose a folder on another disk with --data.",
        )


def contents_of(archive: zipfile.ZipFile, backup: Path, members: Sequence[zipfile.ZipInfo]) -> Contents | None:
    """What the backup says it holds; None for one from before backups said it. Raises Refused."""
    named = [member for member in members if member.filename == CONTENTS_NAME]
    if not named:
        return None
    try:
        return msgspec.json.decode(b"".join(chunks_of(archive, backup, named[0])), type=Contents)
    except msgspec.DecodeError as error:
        raise not_whole(backup, f"{CONTENTS_NAME} cannot be read") from error


def write_member(archive: zipfile.ZipFile, backup: Path, member: zipfile.ZipInfo, folder: Path) -> None:
    """Write one file, which must not be there, for this user alone. Raises Refused, OSError."""
    place = folder / member.filename
    make_folder(place.parent)
    with os.fdopen(os.open(place, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, 0o600), "wb") as file:
        for chunk in chunks_of(archive, backup, member):
            file.write(chunk)
        file.flush()
        os.fsync(file.fileno())


def chunks_of(archive: zipfile.ZipFile, backup: Path, member: zipfile.ZipInfo) -> Iterator[bytes]:
    """A member's bytes, at most as many as it says it has. Raises Refused when they are not those of the backup."""
    left = member.file_size
    try:
        with archive.open(member) as file:
            while chunk := file.read(CHUNK_BYTES):
                left -= len(chunk)
                yield chunk
    except OSError as error:
        raise Refused(f"{backup} cannot be read ({error.strerror}).", "Look at the disk it is on.") from error
    except UNREADABLE as error:
        raise not_whole(backup, f"{member.filename} is damaged") from error
    if left:
        raise not_whole(backup, f"{member.filename} is cut off")


def sync_folders(folder: Path) -> None:
    """Wait until the names of all that is in the folder are on the disk. Raises OSError."""
    for place in (folder, *(one for one in folder.rglob("*") if one.is_dir())):
        sync_to_disk(place)

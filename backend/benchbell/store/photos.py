"""Pictures in the data folder, each under its own SHA-256: the same picture twice is one file.

A picture appears under its name only when all of it is on disk and is what its name says, so a cut in
the middle leaves nothing behind and sending again does no harm.
"""

import asyncio
import hashlib
import re
from collections.abc import AsyncIterator, Sequence
from contextlib import suppress
from pathlib import Path

from benchbell.findings import Refused
from benchbell.picture_size import MOST_PIXELS, is_bounded, pixels
from benchbell.store.errors import DamagedPhoto, TooLarge, disk_error
from benchbell.store.picture import check_bare, cut
from benchbell.store.whole_file import UNFINISHED, write_whole

MOST_BYTES = 12_000_000
NAME = re.compile(r"[0-9a-f]{64}")

TYPES: tuple[tuple[str, int, bytes], ...] = (
    ("image/jpeg", 0, b"\xff\xd8\xff"),
    ("image/png", 0, b"\x89PNG\r\n\x1a\n"),
    ("image/webp", 8, b"WEBP"),
)
"""Media type, and the bytes (with their place) that each such file begins with."""


def type_of(start: bytes) -> str | None:
    """The media type that these first bytes (12 or more) tell, or None when it is no picture we take."""
    for media_type, place, magic in TYPES:
        if start[place : place + len(magic)] == magic and (media_type != "image/webp" or start[:4] == b"RIFF"):
            return media_type
    return None


def place_of(folder: Path, sha256: str) -> Path:
    """Where a picture is kept. Raises Refused for anything but 64 lower-case hex digits."""
    if not NAME.fullmatch(sha256):
        raise Refused("A photo's name is not a SHA-256.", "Ask by 64 lower-case hex digits.")
    return folder / "photos" / sha256[:2] / sha256


def photo_here(folder: Path, sha256: str) -> bytes | None:
    """A picture; None when it has not arrived or its name is none. Raises DamagedPhoto."""
    try:
        body = place_of(folder, sha256).read_bytes()
    except (OSError, Refused):
        return None
    if hashlib.sha256(body).hexdigest() != sha256:
        raise DamagedPhoto(
            "This photo is damaged on the server's disk.",
            "Open the page on the phone that took it: it sends it again.",
        )
    return body


def photo_to_print(folder: Path, sha256: str) -> bytes | None:
    """A picture; no bytes where it is damaged, None when it has not arrived or its name is none."""
    try:
        return photo_here(folder, sha256)
    except DamagedPhoto:
        return b""


def is_whole(file: Path) -> bool:
    """Whether a photo's file holds what its name says."""
    try:
        return sha256_of(file) == file.name
    except OSError:
        return False


def sha256_of(file: Path) -> str:
    """A file's SHA-256 in lower-case hex. Raises OSError."""
    with file.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()


def photo_files(folder: Path) -> list[Path]:
    """The files of all photos, by name."""
    return sorted(file for file in (folder / "photos").glob("??/*") if NAME.fullmatch(file.name))


def clear_unfinished(folder: Path) -> None:
    """Delete what was half received when a server was killed; only for the server that holds the folder."""
    for file in (folder / "photos").glob("??/.*"):
        if UNFINISHED.fullmatch(file.name) and not file.parent.is_symlink():
            with suppress(OSError):
                file.unlink()


def damaged_photos(folder: Path) -> tuple[str, ...]:
    """Paths inside the data folder of photos that do not hold what their names say. Raises OSError."""
    return tuple(
        file.relative_to(folder).as_posix()
        for file in photo_files(folder)
        if not file.is_symlink() and sha256_of(file) != file.name
    )


def photo_names(folder: Path) -> tuple[str, ...]:
    """The names of all photos, in order."""
    return tuple(file.name for file in photo_files(folder))


def scrub_photos(folder: Path, names: Sequence[str]) -> tuple[str, ...]:
    """Check these photos; gives the names of those that are damaged or not there any more."""
    return tuple(name for name in names if not is_whole(place_of(folder, name)))


async def keep_photo(folder: Path, sha256: str, chunks: AsyncIterator[bytes]) -> int:
    """Keep a picture; gives its size in bytes.

    Raises TooLarge for its bytes or pixels, Refused when it is of no known type, not what its name says, or more than a
    picture, and StoreError when it cannot be written.
    """
    place = place_of(folder, sha256)
    body = await gathered(chunks)
    await asyncio.to_thread(write_checked, place, body)
    return len(body)


def write_checked(place: Path, body: bytes) -> None:
    """Check a picture against its name, then write it unless it is there already and whole.

    Raises Refused, TooLarge, StoreError.

    Takes long: it hashes up to MOST_BYTES and waits for the disk. So it is never called on the event loop.
    """
    media_type = type_of(body[:12])
    if media_type is None:
        raise Refused(
            "This is not a JPEG, PNG or WebP picture.", "Take the photo again, or send it in one of these types."
        )
    if hashlib.sha256(body).hexdigest() != place.name:
        raise Refused("The photo's bytes are not those its name says.", "Send it again from the start.")
    if pixels(body) > MOST_PIXELS:
        raise TooLarge(
            f"A photo may have {MOST_PIXELS // 1_000_000} million pixels at most; this one claims {pixels(body):,}.",
            "Make it smaller and send it again.",
        )
    check_bare(media_type, body)
    if not is_bounded(body):
        raise cut()
    try:
        if not is_whole(place):
            write_whole(place, body)
    except OSError as error:
        raise disk_error(error, place.parents[2]) from error


async def gathered(chunks: AsyncIterator[bytes]) -> bytes:
    """All the chunks, up to MOST_BYTES. Raises TooLarge."""
    body = bytearray()
    async for chunk in chunks:
        body += chunk
        if len(body) > MOST_BYTES:
            raise TooLarge(
                f"A photo may have {MOST_BYTES // 1_000_000} MB at most.", "Make it smaller and send it again."
            )
    return bytes(body)

"""Rehearsing a restore: the backup is restored into a temporary folder, opened, and compared with the records."""

import sqlite3
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

from msgspec import Struct

from benchbell.store.connection import connect
from benchbell.store.database import FILE_NAME
from benchbell.store.errors import in_words
from benchbell.store.restore import restore

DIFFERENT = """
SELECT count(*) FROM restored.happening AS old LEFT JOIN main.happening AS new USING (device, n)
WHERE new.body IS NOT old.body
"""


class Rehearsal(Struct, frozen=True):
    """How a backup compares with the records as they are now.

    happenings, files: in the backup. newer: happenings that only the records have. different: happenings of the backup
    that the records lack, or have otherwise. gone: files of the backup that the data folder has no more. damaged:
    photos in the backup that do not hold what their names say. other_authority: whether phones would have to trust
    another certificate authority after a restore. compared: false where there are no records to compare it with.
    """

    file: str
    happenings: int
    files: int
    newer: int
    different: int
    gone: tuple[str, ...]
    damaged: tuple[str, ...]
    other_authority: bool
    compared: bool

    @property
    def is_good(self) -> bool:
        """Whether all that the backup holds is in the records, and the other way round but for what came since."""
        return not (self.different or self.gone or self.damaged or self.other_authority)


def rehearse(backup: Path, data: Path) -> Rehearsal:
    """Restore the backup into a temporary folder, and compare it with the records there are now.

    Raises what `restore` raises, and StoreError when the records cannot be read.
    """
    with TemporaryDirectory(prefix="benchbell-rehearsal-") as place:
        folder = Path(place).resolve() / "data"
        restored = restore(backup, folder)
        compared = (data / FILE_NAME).exists()
        newer, different = compare(data / FILE_NAME, folder / FILE_NAME) if compared else (0, 0)
        names = [one.relative_to(folder) for one in folder.rglob("*") if compared and one.is_file()]
        gone = tuple(sorted(name.as_posix() for name in names if not (data / name).exists()))
        authority = Path("certificate", "authority.pem")
        other = bytes_of(data / authority) not in (None, bytes_of(folder / authority))
    return Rehearsal(
        file=str(backup),
        happenings=restored.happenings,
        files=restored.files,
        newer=newer,
        different=different,
        gone=gone,
        damaged=restored.damaged,
        other_authority=other,
        compared=compared,
    )


def compare(records: Path, restored: Path) -> tuple[int, int]:
    """How many happenings only the records have, and how many of the restored ones they lack or have otherwise.

    Raises StoreError.
    """
    with closing(connect(records)) as db:
        try:
            db.execute("ATTACH ? AS restored", (str(restored),))
            now, then = (
                db.execute(f"SELECT count(*) FROM {name}.happening").fetchone()[0] for name in ("main", "restored")
            )
            different = db.execute(DIFFERENT).fetchone()[0]
        except sqlite3.Error as error:
            raise in_words(error, records) from error
    return max(0, now - then), different


def bytes_of(file: Path) -> bytes | None:
    """A file's bytes; None when it is not there."""
    try:
        return file.read_bytes()
    except OSError:
        return None

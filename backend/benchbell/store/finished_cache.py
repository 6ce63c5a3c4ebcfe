"""The SQL of the finished cache: which builds are over and ring for nothing, so that a start need not read them.

The cache saves reading and decides nothing else: a row that does not fit the log any more is ignored.
"""

import sqlite3
from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from benchbell.bench.happenings import SHOP, ClockSet, Conditions, Happening, Undone
from benchbell.bench.server_clock import Settings, moment_of, settings_of, when_of
from benchbell.store.checksum import is_intact
from benchbell.store.envelopes import LARGEST_INTEGER, readable
from benchbell.store.log_slices import bodies_of_build

BUILDS = """
WITH RECURSIVE known (build) AS (
    SELECT min(build) FROM happening WHERE build > ''
    UNION ALL SELECT (SELECT min(build) FROM happening WHERE build > known.build) FROM known WHERE build IS NOT NULL
)
SELECT build, (SELECT max(position) FROM happening WHERE build = known.build),
    last_position, read_to_position, code, conditions_before_ms
FROM known LEFT JOIN finished_cache USING (build) WHERE build IS NOT NULL
"""
"""Goes from one build to the next by the index, so that its time does not depend on how long the builds are."""


class CachedBuild(Struct, frozen=True):
    """A build and its row in the cache; the last four are None where it has none.

    newest: position of its last happening now. last_position: the same when it was found finished.
    read_to_position: how far the log had been read then. code: the fingerprint of the program that found it.
    conditions_before_ms: conditions of the shop dated before this may make it ring again.
    """

    build: str
    newest: int
    last_position: int | None
    read_to_position: int | None
    code: str | None
    conditions_before_ms: int | None


def unfinished_builds(db: sqlite3.Connection, code: str) -> list[str]:
    """Builds that a start must read, by id: all but those in the cache whose row still holds for this program."""
    builds = [CachedBuild(*row) for row in db.execute(BUILDS)]
    read_to = [one.read_to_position for one in builds if one.read_to_position is not None]
    changes = conditions_after(db, min(read_to, default=LARGEST_INTEGER))
    return [one.build for one in builds if not is_finished(one, code, changes)]


def is_finished(one: CachedBuild, code: str, changes: Sequence[tuple[int, int]]) -> bool:
    """Whether its row still holds. changes: of the shop's conditions, each as position and ms from which it counts."""
    if one.read_to_position is None or one.conditions_before_ms is None:
        return False
    affected = any(position > one.read_to_position and ms < one.conditions_before_ms for position, ms in changes)
    return one.last_position == one.newest and one.code == code and not affected


def conditions_after(db: sqlite3.Connection, position: int) -> list[tuple[int, int]]:
    """Each change of the shop's conditions after `position`: its own position, and the ms from which it counts."""
    query = "SELECT position, body, crc FROM happening WHERE build = ? AND position > ?"
    settings = clock_settings(db)
    rows = db.execute(query, (SHOP, position))
    came = [(found, readable(body)) for found, body, crc in rows if is_intact(body, crc)]
    return [(found, ms) for found, h in came for ms in counts_from(h, settings)]


def clock_settings(db: sqlite3.Connection) -> Settings:
    """How the server's clock was set, as far as the log knows."""
    return settings_of(readable(body) for body in bodies_of_build(db, SHOP, ["clock-set"])[0])


def counts_from(h: Happening, settings: Settings) -> tuple[int, ...]:
    """From which ms on it changes what clocks depend on.

    A reading's own time; 0 for an undoing, and for a setting of the server's clock, which moves the time of every
    reading; nothing for any other.
    """
    if isinstance(h.what, Conditions):
        return (moment_of(when_of(h), settings).ms,)
    return (0,) if isinstance(h.what, Undone | ClockSet) else ()


def affected_builds(db: sqlite3.Connection, came: Iterable[Happening]) -> list[str]:
    """Builds in the cache that these happenings of the shop may make ring again."""
    settings = clock_settings(db)
    earliest = min((ms for h in came for ms in counts_from(h, settings)), default=LARGEST_INTEGER)
    query = "SELECT build FROM finished_cache WHERE conditions_before_ms > ?"
    return [row[0] for row in db.execute(query, (earliest,))]


def cache_finished(db: sqlite3.Connection, found: Mapping[str, int], read_to: int, code: str) -> None:
    """Put builds into the cache that were found finished after reading the log up to position `read_to`.

    found: by build, its `conditions_before_ms`. code: the fingerprint of this program.
    """
    db.executemany(
        """INSERT OR REPLACE INTO finished_cache (build, last_position, read_to_position, code, conditions_before_ms)
        SELECT ?1, max(position), ?2, ?3, ?4 FROM happening WHERE build = ?1 AND position <= ?2 HAVING count(*)""",
        [(build, read_to, code, before_ms) for build, before_ms in found.items()],
    )

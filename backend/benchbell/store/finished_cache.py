"""Builds that are over and ring for nothing: kept so, that a start need not read years of them again.

What is kept is only ever a way round work: a row that does not fit what is here any more is left aside.
"""

import sqlite3
from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from benchbell.bench.happenings import SHOP, Conditions, Happening, Undone
from benchbell.store.happenings import readable

ALL = 2**53 - 1
"""After every position and moment."""

KNOWN = """
WITH RECURSIVE known (build) AS (
    SELECT min(build) FROM happening WHERE build > ''
    UNION ALL SELECT (SELECT min(build) FROM happening WHERE build > known.build) FROM known WHERE build IS NOT NULL
)
SELECT build, (SELECT max(position) FROM happening WHERE build = known.build), last, shop, code, air_ms
FROM known LEFT JOIN silent USING (build) WHERE build IS NOT NULL
"""
"""From one build to the next by the index, however long each is."""


class Build(Struct, frozen=True):
    """A build, and what was found when it was last over and silent; None where it never was.

    newest: the position of its last happening. last: what that was then. shop: up to where the shop's were known.
    code: the mark of the program that found it. air_ms: a reading from before that may make it ring again.
    """

    build: str
    newest: int
    last: int | None
    shop: int | None
    code: str | None
    air_ms: int | None


def builds_here(db: sqlite3.Connection) -> list[Build]:
    """Every build that anything was recorded of, by id."""
    return [Build(*row) for row in db.execute(KNOWN)]


def not_silent(db: sqlite3.Connection, code: str) -> list[str]:
    """Builds to be read at a start: all but those that are still as they were found by this very program."""
    builds = builds_here(db)
    air = air_after(db, min((one.shop for one in builds if one.shop is not None), default=ALL))
    return [one.build for one in builds if not is_silent(one, code, air)]


def is_silent(one: Build, code: str, air: Sequence[tuple[int, int]]) -> bool:
    """Whether nothing came since that could make it ring."""
    if one.shop is None or one.air_ms is None:
        return False
    stirs = any(position > one.shop and ms < one.air_ms for position, ms in air)
    return one.last == one.newest and one.code == code and not stirs


def air_after(db: sqlite3.Connection, position: int) -> list[tuple[int, int]]:
    """Each change of the air after `position`: its own position, and the moment in ms from which it counts."""
    query = "SELECT position, body FROM happening WHERE build = ? AND position > ?"
    return [(found, ms) for found, body in db.execute(query, (SHOP, position)) for ms in air_from(readable(body))]


def air_from(h: Happening) -> tuple[int, ...]:
    """From which moment on it changes the air: a reading's own, any for an undoing, none for anything else."""
    if isinstance(h.what, Conditions):
        return (h.at.ms,)
    return (0,) if isinstance(h.what, Undone) else ()


def stirred(db: sqlite3.Connection, came: Iterable[Happening]) -> list[str]:
    """Silent builds that may ring again by what came of the shop."""
    earliest = min((ms for h in came for ms in air_from(h)), default=ALL)
    return [row[0] for row in db.execute("SELECT build FROM silent WHERE air_ms > ?", (earliest,))]


def keep_silent(db: sqlite3.Connection, found: Mapping[str, int], upto: int, code: str) -> None:
    """These builds are over and silent, by all that came up to this position. found: by build, its air_ms."""
    db.executemany(
        """INSERT OR REPLACE INTO silent (build, last, shop, code, air_ms)
        SELECT ?1, max(position), ?2, ?3, ?4 FROM happening WHERE build = ?1 AND position <= ?2 HAVING count(*)""",
        [(build, upto, code, air_ms) for build, air_ms in found.items()],
    )

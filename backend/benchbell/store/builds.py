"""The SQL of builds: starting one with a label code for each part, finding one by name."""

import sqlite3
from collections.abc import Sequence

import msgspec
from msgspec import Struct

from benchbell.bench.happenings import Started, When
from benchbell.findings import Refused
from benchbell.recipe.sheet import Sheet
from benchbell.store.checksum import is_intact
from benchbell.store.errors import SENT_AGAIN, BuildExists, Damaged
from benchbell.store.happenings import record
from benchbell.store.label_codes import fresh_codes
from benchbell.store.record_types import Entry, RandomBytes


def start_build(
    db: sqlite3.Connection,
    build: str,
    name: str,
    sheet: Sheet,
    recipe: str,
    when: When,
    random_bytes: RandomBytes,
    followed_by: Sequence[Entry] = (),
) -> Started:
    """Record that a build began, under an id that is the build's own, and what followed.

    When the build was started before, gives how it was started and records nothing. Raises BuildExists when the id
    belongs to another recipe, name, number of pieces or choice; Damaged when the build's beginning cannot be read.
    """
    there = started(db, build)
    if there is not None:
        if (there.sheet.asked_for, there.name) != (sheet.asked_for, name):
            raise BuildExists(
                f"Build {build} is {there.name}, of {there.sheet.recipe}.", "Start the other with a new id."
            )
        return there
    ids = [*(part.id for part in sheet.parts), *(assembly.id for assembly in sheet.assemblies)]
    codes = dict(zip(ids, fresh_codes(db, random_bytes), strict=False))
    what = Started(name, sheet, recipe, codes)
    record(db, [Entry(build, when, build, (), what), *followed_by])
    return what


class StartedOnly(Struct, frozen=True):
    """A `started` happening of which only `what` is decoded."""

    what: Started


def started(db: sqlite3.Connection, build: str) -> Started | None:
    """How a build was started; None when it was not. Raises Damaged."""
    row = db.execute("SELECT body, crc FROM happening WHERE id = ? AND kind = 'started'", (build,)).fetchone()
    if row is None:
        return None
    if not is_intact(*row):
        raise Damaged(f"The beginning of build {build} is damaged.", SENT_AGAIN)
    return msgspec.json.decode(row[0], type=StartedOnly).what


def name_of(db: sqlite3.Connection, build: str) -> str:
    """The build's name; its id where its beginning is damaged."""
    try:
        begun = started(db, build)
    except Damaged:
        return build
    return build if begun is None else begun.name


def started_builds(db: sqlite3.Connection) -> list[str]:
    """Ids of all builds that were started, oldest first."""
    return [row[0] for row in db.execute("SELECT id FROM happening WHERE kind = 'started' ORDER BY position")]


def recorded_builds(db: sqlite3.Connection) -> list[str]:
    """Ids of all builds that have any happening, by id."""
    return [row[0] for row in db.execute("SELECT DISTINCT build FROM happening WHERE build <> ''")]


def build_named(db: sqlite3.Connection, name: str) -> str:
    """The id of the build with this name or id; of several with one name the newest. Raises Refused, Damaged."""
    names = {id: name_of(db, id) for id in started_builds(db)}
    found = [id for id, known in names.items() if name in (id, known)]
    if not found:
        there = ", ".join(sorted(set(names.values()))[:12]) or "none yet"
        raise Refused(f"There is no build “{name}”.", f"Builds here: {there}.")
    started(db, found[-1])
    return found[-1]

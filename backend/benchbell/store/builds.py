"""Starting a build: its sheet goes into the book, with a label code for each part that no other build has."""

import sqlite3
from collections.abc import Callable, Iterable, Iterator

import msgspec
from msgspec import Struct

from benchbell.bench.happenings import Started
from benchbell.findings import Refused
from benchbell.recipe.label_code import BITS, new_code
from benchbell.recipe.sheet import Sheet
from benchbell.store.happenings import record

RandomBytes = Callable[[int], bytes]


class BuildExists(Refused):
    """The id stands for another build."""


class Codes(Struct, frozen=True):
    """What of a `started` or `remade` body tells codes in use."""

    codes: dict[str, str] = {}
    code: str = ""


class WithCodes(Struct, frozen=True):
    """A body, looked at for its codes alone."""

    what: Codes


def start(
    db: sqlite3.Connection, build: str, name: str, sheet: Sheet, recipe: str, now_ms: int, random_bytes: RandomBytes
) -> Started:
    """Record that a build began, inside a transaction; asked again with the same id, gives what is there.

    The happening's own id is the build's. Raises BuildExists when the id stands for another recipe or number of
    pieces.
    """
    there = started(db, build)
    if there is not None:
        if (there.sheet.recipe, there.sheet.pieces, there.name) != (sheet.recipe, sheet.pieces, name):
            raise BuildExists(f"Build {build} is {there.name}, of {there.sheet.recipe}.", "Start the other anew.")
        return there
    ids = [*(part.id for part in sheet.parts), *(assembly.id for assembly in sheet.assemblies)]
    codes = dict(zip(ids, fresh_codes(set(codes_in_use(db)), random_bytes), strict=False))
    what = Started(name, sheet, recipe, codes)
    record(db, build, now_ms, build, (), what)
    return what


def started(db: sqlite3.Connection, build: str) -> Started | None:
    """How a build began, if it did."""
    row = db.execute("SELECT body FROM happening WHERE id = ? AND kind = 'started'", (build,)).fetchone()
    return None if row is None else msgspec.json.decode(row[0], type=Beginning).what


class Beginning(Struct, frozen=True):
    """A `started` body, looked at for what it says alone."""

    what: Started


def codes_in_use(db: sqlite3.Connection) -> Iterator[str]:
    """Every label code that was ever given out, on any build."""
    for (body,) in db.execute("SELECT body FROM happening WHERE kind IN ('started', 'remade')"):
        try:
            what = msgspec.json.decode(body, type=WithCodes).what
        except msgspec.ValidationError:
            continue
        yield from (what.code, *what.codes.values())


def fresh_codes(used: set[str], random_bytes: RandomBytes) -> Iterator[str]:
    """Codes that nobody has, without end: at 100,000 in use one draw in 340,000 is drawn again."""
    while True:
        code = new_code(int.from_bytes(random_bytes(8)) % 2**BITS)
        if code not in used:
            used.add(code)
            yield code


def builds(db: sqlite3.Connection) -> Iterable[str]:
    """Ids of all builds, oldest first."""
    return [row[0] for row in db.execute("SELECT id FROM happening WHERE kind = 'started' ORDER BY position")]


def build_named(db: sqlite3.Connection, name: str) -> str:
    """The id of the build of that name or id; of several with one name the newest. Raises Refused."""
    names = {id: begun.name for id in builds(db) if (begun := started(db, id)) is not None}
    found = [id for id, known in names.items() if name in (id, known)]
    if not found:
        there = ", ".join(sorted(set(names.values()))[:12]) or "none yet"
        raise Refused(f"There is no build “{name}”.", f"Builds here: {there}.")
    return found[-1]

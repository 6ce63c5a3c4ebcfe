"""Label codes that are in use. A label stays on its part for years, so no code is ever given out twice."""

import sqlite3
from collections.abc import Iterable, Iterator

import msgspec
from msgspec import Struct

from benchbell.recipe.label_code import BITS, new_code
from benchbell.store.record_types import Body, RandomBytes

KINDS_WITH_CODES = {"started", "remade"}
"""Kinds of happenings that give codes to parts."""


class Codes(Struct, frozen=True):
    """The codes in a happening's `what`: by part in `started`, one in `remade`."""

    codes: dict[str, str] = {}
    code: str = ""


class WithCodes(Struct, frozen=True):
    """A happening of which only the codes are decoded."""

    what: Codes


def keep_codes(db: sqlite3.Connection, bodies: Iterable[Body]) -> None:
    """Mark the codes in these happenings as used, in the transaction that keeps the happenings."""
    rows = [(code,) for body in bodies for code in codes_in(body)]
    if rows:
        db.executemany("INSERT OR IGNORE INTO label_code (code) VALUES (?)", rows)


def codes_in(body: Body) -> tuple[str, ...]:
    """The codes that a happening gives to parts; none where they are not of the known form."""
    try:
        what = msgspec.json.decode(body, type=WithCodes).what
    except msgspec.ValidationError:
        return ()
    return tuple(code for code in (what.code, *what.codes.values()) if code)


def fresh_codes(db: sqlite3.Connection, random_bytes: RandomBytes) -> Iterator[str]:
    """An endless supply of codes, all different and none of them used yet.

    With 100,000 codes in use, one draw in 340,000 is repeated.
    """
    drawn: set[str] = set()
    while True:
        code = new_code(int.from_bytes(random_bytes(8)) % 2**BITS)
        if code not in drawn and not is_used(db, code):
            drawn.add(code)
            yield code


def is_used(db: sqlite3.Connection, code: str) -> bool:
    """Whether some build has this code."""
    return db.execute("SELECT 1 FROM label_code WHERE code = ?", (code,)).fetchone() is not None

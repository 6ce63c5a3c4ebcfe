"""The coats of an operation, in the order in which they go on, and what is sanded in between.

Each table of `coat` is worked in turn: all its coats on its first face, then all on its next. What lies under a coat is
the last coat on the same face; a coat without a face is on all of them.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise, product
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from benchbell.recipe.coat_text import CoatText
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.written import OperationText

SAND = "sand"
"""Stands in the name of a sanding: oil-sand-2 comes before oil-2."""


class Coat(Struct, frozen=True):
    """One coat of an operation.

    number: from 1, among all coats of the operation. table: its table's number from 0. nth, of: which of how many coats
    of its finish on its face. under: numbers of the coats that it goes on, the last one first. sanded: whether those
    are sanded first. recoated: whether another coat of the operation goes on it, and sanded_later: sanded first.
    turned: whether the next coat is on another face, so that the piece is turned over. last: of the operation.
    """

    number: int
    table: int
    finish: str
    face: str = ""
    nth: int = 1
    of: int = 1
    under: tuple[int, ...] = ()
    sanded: bool = False
    recoated: bool = False
    sanded_later: bool = False
    turned: bool = False
    last: bool = False


class Stage(Struct, frozen=True):
    """One step of an operation on a piece. coat: the coat that it puts on, or sands for; None for other work."""

    name: str
    coat: Coat | None = None
    sands: bool = False


def tables_of(written: OperationText) -> Sequence[CoatText]:
    """The operation's tables of coats; none when it is other work."""
    if written.coat is None:
        return ()
    return written.coat if isinstance(written.coat, list) else (written.coat,)


def table_path(written: OperationText, row: int, table: int, *keys: str) -> Path:
    """The place in the file of a table of coats, or of a key of it."""
    number = (table,) if isinstance(written.coat, list) else ()
    return ("operation", row, "coat", *number, *keys)


def coats_of(written: OperationText) -> tuple[Coat, ...]:
    """The operation's coats in the order in which they go on."""
    plain = [
        Coat(number, n, table.with_, face)
        for number, (n, table, face) in enumerate(in_turn(tables_of(written)), 1)
    ]  # fmt: skip
    found = [with_under(coat, plain, tables_of(written)[coat.table]) for coat in plain]
    turned = {one.number for one, other in pairwise(found) if not overlap(one.face, other.face)}
    return tuple(with_later(coat, found, coat.number in turned) for coat in found)


def in_turn(tables: Sequence[CoatText]) -> Iterator[tuple[int, CoatText, str]]:
    """For each coat its table's number, its table and its face."""
    for n, table in enumerate(tables):
        for face, _ in product(table.faces or ("",), range(table.coats)):
            yield n, table, face


def with_under(coat: Coat, coats: Sequence[Coat], table: CoatText) -> Coat:
    """The coat with its place among those of its kind, and what it goes on."""
    alike = [one.number for one in coats if (one.finish, one.face) == (coat.finish, coat.face)]
    under = tuple(directly_under(coat, coats))
    nth = alike.index(coat.number) + 1
    return replace(coat, nth=nth, of=len(alike), under=under, sanded=bool(table.sand and under))


def directly_under(coat: Coat, coats: Sequence[Coat]) -> Iterator[int]:
    """The numbers of the coats that a coat goes on: the last on its face, or of each face when it is on all."""
    covered: set[str] = set()
    for one in reversed(coats[: coat.number - 1]):
        if overlap(one.face, coat.face) and one.face not in covered:
            yield one.number
            covered.add(one.face)
            if coat.face or not one.face:
                return


def with_later(coat: Coat, coats: Sequence[Coat], turned: bool) -> Coat:
    """The coat with what becomes of it. coats: with what lies under them."""
    over = [one for one in coats if coat.number in one.under]
    return replace(
        coat,
        recoated=bool(over),
        sanded_later=bool(over) and all(one.sanded for one in over),
        turned=turned,
        last=coat.number == len(coats),
    )


def overlap(face: str, other: str) -> bool:
    """Whether two coats may lie on each other: on the same face, or one of them on all."""
    return face == other or not (face and other)


def stages_of(written: OperationText) -> list[Stage]:
    """The steps of an operation on a piece: its coats with the sandings between them, or the one of other work."""
    coats = coats_of(written)
    stages = [] if coats else [Stage(written.id)]
    for coat in coats:
        if coat.sanded:
            stages.append(Stage(sanding_name(written.id, coat.number), coat, sands=True))
        stages.append(Stage(coat_name(written.id, coat.number, len(coats)), coat))
    return stages


def coat_name(operation: str, number: int, of: int) -> str:
    """The name of one of an operation's coats: its id, with a number where there are several."""
    return f"{operation}-{number}" if of > 1 else operation


def sanding_name(operation: str, number: int) -> str:
    """The name of a sanding. number: that of the coat that it sands for."""
    return f"{operation}-{SAND}-{number}"


def step_names(written: OperationText) -> list[str]:
    """The names of an operation's steps in a piece: its id, or oil-1, oil-2 … for coats."""
    return [stage.name for stage in stages_of(written)]


def names_in_table(row: Mapping[str, Any]) -> Iterator[str]:
    """The same names from an operation's TOML table, as far as its counts are settled."""
    coat = row.get("coat") or []
    tables = coat if isinstance(coat, list) else [coat]
    counts = [(one.get("coats", 1), len(one.get("faces", ())) or 1) for one in tables]
    total = sum(coats * faces for coats, faces in counts if isinstance(coats, int))
    for number in range(1, total + 1):
        yield coat_name(row["id"], number, total)
        yield sanding_name(row["id"], number)

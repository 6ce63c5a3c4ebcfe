"""What another piece's operation says that the first piece's did not: most of it is the same."""

from collections.abc import Iterable, Sequence

from msgspec import Struct

from benchbell.recipe.sheet import Operation


class Printed(Struct, frozen=True):
    """An operation as it was printed: its number on the sheet, its piece, and the lines below its title."""

    number: int
    piece: str
    lines: Sequence[str]


def unlike(lines: Sequence[str], op: Operation, first: Printed) -> Iterable[str]:
    """The first line, those that differ from the first piece's, and where the rest stands."""
    known = set(first.lines)
    head, *rest = lines
    yield head
    yield from (line for line in rest if line.replace(f"{op.piece}/", f"{first.piece}/") not in known)
    yield f"all else as {first.number}, for piece {op.piece}"

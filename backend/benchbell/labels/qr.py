"""The square on a label: what it holds, how large its modules print, and how much dirt it may lose.

A label gets dusty and gets glue on it, so that the highest correction that still prints well is worth more
than a small symbol. ISO/IEC 18004: a symbol of version v has 17 + 4v modules a side, and wants 4 clear
modules all round.
"""

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import groupby
from typing import Any, Literal

from msgspec import Struct
from qrcode.constants import ERROR_CORRECT_H, ERROR_CORRECT_Q
from qrcode.main import QRCode
from qrcode.util import QRData

from benchbell.findings import Refused

Level = Literal["Q", "H"]

LEVELS: dict[Level, int] = {"H": ERROR_CORRECT_H, "Q": ERROR_CORRECT_Q}
"""From the one that bears most dirt down: about 30 and 25 % of the symbol (ISO/IEC 18004)."""

QUIET = 4
LEAST_MODULE_MM = 0.4
"""A phone held at hand's distance reads no smaller module well (common practice, no source)."""


class Square(Struct, frozen=True):
    """One QR symbol. rows: True where a module is dark; without the quiet zone."""

    text: str
    level: Level
    version: int
    rows: tuple[tuple[bool, ...], ...]

    def module_mm(self, side_mm: float) -> float:
        """How large a module prints when symbol and quiet zone take this much, in mm."""
        return side_mm / units(self.version)


def units(version: int) -> int:
    """Modules a side, quiet zone included."""
    return 17 + 4 * version + 2 * QUIET


def best_square(texts: Iterable[str], side_mm: float) -> Square:
    """The square for this much room, in mm, quiet zone included.

    The first text at the highest level whose modules print large enough; when none does, the one with
    the largest modules. texts: what it may hold, the most useful first.
    Raises Refused when nothing fits any symbol.
    """
    ways = [(text, level, version) for text in texts for level in LEVELS if (version := version_of(text, level))]
    if not ways:
        raise Refused("The address is too long for a QR symbol.", "Give the server a shorter host name.")
    text, level, version = next(
        (way for way in ways if side_mm / units(way[2]) >= LEAST_MODULE_MM), min(ways, key=lambda way: way[2])
    )
    return Square(text, level, version, modules(text, level))


def symbol(text: str, level: Level) -> QRCode[Any]:
    """The encoder with this text in it, as one segment in the smallest mode that holds it."""
    code = QRCode(error_correction=LEVELS[level], border=0)
    code.add_data(QRData(text))
    return code


@lru_cache(maxsize=4096)
def version_of(text: str, level: Level) -> int | None:
    """The smallest version that holds the text at this level, 1 to 40; None when it is too long."""
    try:
        return int(symbol(text, level).best_fit())
    except ValueError:  # the encoder's way of saying that there is no version 41
        return None


def modules(text: str, level: Level) -> tuple[tuple[bool, ...], ...]:
    """The symbol's modules, row by row, True where dark."""
    code = symbol(text, level)
    code.make()
    return tuple(tuple(map(bool, row)) for row in code.get_matrix())


def blocks(square: Square) -> Iterator[tuple[int, int, int, int]]:
    """Its dark modules as rectangles, far fewer to draw: first row, first column, rows, columns."""
    begun: dict[tuple[int, int], int] = {}
    for number, row in enumerate((*square.rows, ())):
        runs = set(dark_runs(row))
        for column, length in sorted(begun.keys() - runs):
            first = begun.pop((column, length))
            yield first, column, number - first, length
        begun |= dict.fromkeys(runs - begun.keys(), number)


def dark_runs(row: Sequence[bool]) -> Iterator[tuple[int, int]]:
    """Where dark modules stand in a row without a gap: first column, length."""
    column = 0
    for dark, run in groupby(row):
        length = len(list(run))
        if dark:
            yield column, length
        column += length

"""The square on a label: a QR symbol, its text, the size of its modules and its error correction.

A label gets dust and glue on it, so that the highest error correction which still prints well matters more than a
small symbol. ISO/IEC 18004: a symbol of version v has 17 + 4v modules a side and needs 4 white modules around it.
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
"""Levels of error correction, the highest first: 30 and 25 % of the symbol may be lost (ISO/IEC 18004)."""

QUIET = 4
LEAST_MODULE_MM = 0.4
"""The smallest module that a phone in the hand reads well (common practice, no source)."""


class Square(Struct, frozen=True):
    """One QR symbol. rows: True where a module is dark; without the quiet zone."""

    text: str
    level: Level
    version: int
    rows: tuple[tuple[bool, ...], ...]

    def module_mm(self, side_mm: float) -> float:
        """Size of a printed module in mm. side_mm: of the symbol with its quiet zone."""
        return side_mm / units(self.version)


def units(version: int) -> int:
    """Modules on a side, quiet zone included."""
    return 17 + 4 * version + 2 * QUIET


def best_square(texts: Iterable[str], side_mm: float) -> Square:
    """The best square for a box. side_mm: of the box, quiet zone included. texts: the best first.

    It is the first text at the highest level whose modules are large enough; when none is, the one with the largest
    modules. Raises Refused when no text fits a symbol.
    """
    candidates = [(text, level, version) for text in texts for level in LEVELS if (version := version_of(text, level))]
    if not candidates:
        raise Refused("The address is too long for a QR symbol.", "Give the server a shorter host name.")
    text, level, version = next(
        (one for one in candidates if side_mm / units(one[2]) >= LEAST_MODULE_MM),
        min(candidates, key=lambda one: one[2]),
    )
    return Square(text, level, version, modules(text, level))


def symbol(text: str, level: Level) -> QRCode[Any]:
    """An encoder with this text as one segment, in the most compact mode for it."""
    code = QRCode(error_correction=LEVELS[level], border=0)
    code.add_data(QRData(text))
    return code


@lru_cache(maxsize=4096)
def version_of(text: str, level: Level) -> int | None:
    """The smallest version, 1 to 40, that fits the text at this level; None when it is too long."""
    try:
        return int(symbol(text, level).best_fit())
    except ValueError:  # the encoder raises this when version 40 is too small
        return None


def modules(text: str, level: Level) -> tuple[tuple[bool, ...], ...]:
    """The symbol's modules by row, True where dark."""
    code = symbol(text, level)
    code.make()
    return tuple(tuple(map(bool, row)) for row in code.get_matrix())


def blocks(square: Square) -> Iterator[tuple[int, int, int, int]]:
    """The dark modules combined into few rectangles: first row, first column, rows, columns."""
    open_runs: dict[tuple[int, int], int] = {}
    for number, row in enumerate((*square.rows, ())):
        runs = set(dark_runs(row))
        for column, length in sorted(open_runs.keys() - runs):
            first = open_runs.pop((column, length))
            yield first, column, number - first, length
        open_runs |= dict.fromkeys(runs - open_runs.keys(), number)


def dark_runs(row: Sequence[bool]) -> Iterator[tuple[int, int]]:
    """The runs of dark modules in a row: first column, length."""
    column = 0
    for dark, run in groupby(row):
        length = len(list(run))
        if dark:
            yield column, length
        column += length

"""Parts that a maker cuts from one long strip: narrow or short ones of equal width and thickness."""

from collections.abc import Collection, Sequence
from itertools import groupby
from math import ceil

from msgspec.structs import replace

from benchbell.recipe.stock import CutListRow
from benchbell.trade.stations import ROUND_TWIN, stations

NARROW_MM = 30.0
"""What is no wider is ripped as a strip and cut to length after that. Common practice, no source."""

SHORT_MM = round((stations()["table saw"].least_length_mm or 0) * ROUND_TWIN, 3)
"""What is shorter is worked as part of a longer piece and cut to length last."""

KERF_MM = 3.2
"""What a saw cut takes, 1/8 in. Common practice, no source."""

NEAR_MM = 0.01
"""Widths and thicknesses that differ by less are cut at one setting."""

STEP_MM = 10.0

Section = tuple[str, int, int]
"""A wood, a width and a thickness, in steps of NEAR_MM."""


def with_strips(rows: Sequence[CutListRow], on_boards: Collection[str] = ()) -> tuple[CutListRow, ...]:
    """The rows with the length of the strip that each is cut from; strips come after all else of their boards.

    on_boards: the parts, by id, that come from a board of which the recipe says the order.
    """
    by_section: dict[Section, list[CutListRow]] = {}
    for row in rows:
        if is_strip(row) and not any(part in on_boards for part in row.of):
            by_section.setdefault(section(row), []).append(row)
    strips = {id(row): strip_mm(group) for group in by_section.values() if is_several(group) for row in group}
    sections = list(by_section)
    found: list[CutListRow] = []
    for _, board in groupby(rows, lambda row: (row.stock, row.material, row.bought, row.bought_mm)):
        of_board = list(board)
        found += [row for row in of_board if id(row) not in strips]
        cut = [row for row in of_board if id(row) in strips]
        found += [
            replace(row, strip_mm=strips[id(row)]) for row in sorted(cut, key=lambda row: sections.index(section(row)))
        ]
    return tuple(found)


def is_several(rows: Sequence[CutListRow]) -> bool:
    """Whether these are two parts or more."""
    return sum(len(row.of) for row in rows) > 1


def is_strip(row: CutListRow) -> bool:
    """Whether such parts are cut from a strip: solid wood that is narrow, or too short to be worked singly."""
    if row.material != "solid" or len(row.finished_mm) < 3:
        return False
    length, width, _ = row.finished_mm
    return width <= NARROW_MM < length or length < SHORT_MM


def section(row: CutListRow) -> Section:
    """What parts of one strip share: the width is that to cut first."""
    width, thickness = row.rough_mm[1], row.finished_mm[2]
    return row.stock, round(width / NEAR_MM), round(thickness / NEAR_MM)


def strip_mm(rows: Sequence[CutListRow]) -> float:
    """How much strip the parts take as they are cut first, with a saw cut each; rounded up to 10 mm."""
    whole = sum(len(row.of) * (row.rough_mm[0] + KERF_MM) for row in rows)
    return ceil(whole / STEP_MM) * STEP_MM

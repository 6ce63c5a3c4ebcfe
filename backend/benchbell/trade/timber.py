"""Buying timber: board feet by the two usual rules, cubic metres, sizes after surfacing, and boards for thin parts."""

import re
from fractions import Fraction
from functools import cache
from math import floor
from typing import Literal

from msgspec import Struct

from benchbell.findings import OutsideValidity
from benchbell.trade.lengths import MM_PER_INCH
from benchbell.trade.tables import Grade, named, read

MaterialKind = Literal["solid", "sheet", "veneer", "other"]
"""What a part is made of: solid wood, sheet goods, leaves of veneer, or something else."""

STICK = re.compile(r"(?:softwood )?(?P<thick>\d+(?:/4)?)(?:\s*[x×]\s*(?P<wide>\d+))?")
INCHES_PER_FOOT = 12
CUBIC_INCHES_PER_BOARD_FOOT = 144
MM3_PER_M3 = 1e9
SURFACED_WITHIN_MM = 0.05  # a surfaced board may be so much thinner than its part

# Common practice, no source.
PLANED_AWAY_MM = 6  # from a board thicker than every nominal size
RESAWN_LOSS_MM = 5  # the saw's kerf, and planing both sawn faces again
MOST_LEAVES = 3  # that a board is usually resawn into


class Surfaced(Struct, frozen=True, forbid_unknown_fields=True):
    """A nominal size after surfacing, in inches. green_in: for softwood above 19 % moisture content."""

    id: str
    nominal_in: float
    dry_in: float
    grade: Grade
    source: str
    green_in: float | None = None


def board_feet(thickness_mm: float, width_mm: float, length_mm: float) -> float:
    """Volume in board feet, unrounded: 144 cubic inches each. Raises OutsideValidity when a size is not above 0."""
    require_size(thickness_mm, width_mm, length_mm)
    return thickness_mm * width_mm * length_mm / MM_PER_INCH**3 / CUBIC_INCHES_PER_BOARD_FOOT


def surface_measure(width_mm: float, length_mm: float) -> int:
    """Surface measure of one hardwood board in whole square feet: width in inches x whole feet / 12, halves up.

    Source: NHLA rules, as in the trade's measuring guide.
    """
    feet = floor(length_mm / MM_PER_INCH / INCHES_PER_FOOT + 1e-9)
    return floor(width_mm / MM_PER_INCH * feet / INCHES_PER_FOOT + 0.5 + 1e-9)


def hardwood_board_feet(thickness_mm: float, width_mm: float, length_mm: float) -> float:
    """Board feet as hardwood is sold: surface measure x nominal thickness in inches, at least 1 in.

    Raises OutsideValidity when a size is not above 0.
    """
    require_size(thickness_mm, width_mm, length_mm)
    return surface_measure(width_mm, length_mm) * max(1.0, thickness_mm / MM_PER_INCH)


def cubic_metres(thickness_mm: float, width_mm: float, length_mm: float) -> float:
    """Volume in cubic metres. Raises OutsideValidity when a size is not above 0."""
    require_size(thickness_mm, width_mm, length_mm)
    return thickness_mm * width_mm * length_mm / MM3_PER_M3


@cache
def surfaced_sizes() -> dict[str, Surfaced]:
    """All nominal sizes by id, such as "hardwood 4/4" or "softwood width 4"."""
    return read("surfaced", Surfaced)


def surfaced_named(name: str) -> Surfaced:
    """The nominal size of that id. Raises UnknownName when there is none."""
    return named(surfaced_sizes(), "nominal size", name)


def lumber_named(name: str) -> tuple[Surfaced, ...]:
    """The rows of a nominal size: one, or thickness and width of a stick such as "2x4", "1 × 6" or "5/4x6".

    Such a stick, and a thickness in quarters that is not said to be of hardwood, is of softwood.
    Raises UnknownName when there is none.
    """
    stick = STICK.fullmatch(name.strip().casefold())
    if stick is None:
        return (surfaced_named(name),)
    found = [row for row in surfaced_sizes().values() if row.id.startswith(("softwood board", "softwood dimension"))]
    thick = [row for row in found if row.nominal_in == inches(stick["thick"])]
    if not thick or stick["wide"] is None:
        return tuple(thick) or (surfaced_named(name),)
    return (thick[0], surfaced_named(f"softwood width {stick['wide']}"))


def inches(text: str) -> float:
    """A nominal thickness such as "2" or "5/4" in inches."""
    return float(Fraction(text))


@cache
def hardwood_thicknesses() -> tuple[Surfaced, ...]:
    """The nominal thicknesses of hardwood, thinnest first."""
    return tuple(sorted((row for id, row in surfaced_sizes().items() if id.startswith("hardwood")), key=by_nominal))


def by_nominal(row: Surfaced) -> float:
    """A nominal size in inches, to sort by."""
    return row.nominal_in


def bought_mm(thickness_mm: float) -> float:
    """The nominal thickness, in mm, of the hardwood board from which a part of that thickness is planed.

    At least 1 in, since no thinner board is sold; thicker than the table, 6 mm more than the part (common practice).
    Raises OutsideValidity when the thickness is not above 0.
    """
    row = hardwood_for(thickness_mm)
    return thickness_mm + PLANED_AWAY_MM if row is None else row.nominal_in * MM_PER_INCH


def hardwood_for(thickness_mm: float) -> Surfaced | None:
    """The thinnest hardwood that is thick enough after surfacing; None when all of it is too thin.

    Raises OutsideValidity when the thickness is not above 0.
    """
    require_size(thickness_mm)
    enough = (row for row in hardwood_thicknesses() if row.dry_in * MM_PER_INCH >= thickness_mm - SURFACED_WITHIN_MM)
    return next(enough, None)


def resawn_mm(thickness_mm: float) -> float:
    """What a part takes of a board's nominal thickness, in mm, where the board may be resawn into up to three leaves.

    Each cut costs 5 mm (common practice). Never more than bought_mm.
    Raises OutsideValidity when the thickness is not above 0.
    """
    stacks = (n * thickness_mm + (n - 1) * RESAWN_LOSS_MM for n in range(1, MOST_LEAVES + 1))
    return min(bought_mm(stack) / n for n, stack in enumerate(stacks, 1))


def require_size(*sizes_mm: float) -> None:
    """Raises OutsideValidity when a size is not above 0."""
    for size in sizes_mm:
        if not size > 0:
            raise OutsideValidity(f"A size is {size:g} mm, not above 0.", "Give every size above 0.")

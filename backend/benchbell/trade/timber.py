"""Buying timber: board feet by the two rules in use, cubic metres, and what is left after surfacing."""

from functools import cache
from math import floor

from msgspec import Struct

from benchbell.findings import OutsideValidity
from benchbell.trade.tables import Grade, named, read

MM_PER_INCH = 25.4
INCHES_PER_FOOT = 12
CUBIC_INCHES_PER_BOARD_FOOT = 144
MM3_PER_M3 = 1e9


class Surfaced(Struct, frozen=True, forbid_unknown_fields=True):
    """What a nominal size is after surfacing, in inches; green_in for softwood over 19 % moisture content."""

    id: str
    nominal_in: float
    dry_in: float
    grade: Grade
    source: str
    green_in: float | None = None


def board_feet(thickness_mm: float, width_mm: float, length_mm: float) -> float:
    """Volume in board feet, unrounded: 144 cubic inches each. Raises OutsideValidity for sizes of zero or less."""
    require_size(thickness_mm, width_mm, length_mm)
    return thickness_mm * width_mm * length_mm / MM_PER_INCH**3 / CUBIC_INCHES_PER_BOARD_FOOT


def surface_measure(width_mm: float, length_mm: float) -> int:
    """Surface measure of one hardwood board, in whole square feet: width in inches x whole feet / 12, halves up.

    Source: NHLA rules, as the trade's own measuring guide gives them.
    """
    feet = floor(length_mm / MM_PER_INCH / INCHES_PER_FOOT + 1e-9)
    return floor(width_mm / MM_PER_INCH * feet / INCHES_PER_FOOT + 0.5 + 1e-9)


def hardwood_board_feet(thickness_mm: float, width_mm: float, length_mm: float) -> float:
    """Board feet as hardwood is sold: surface measure x nominal thickness in inches; under 1 in counts as 1 in."""
    require_size(thickness_mm, width_mm, length_mm)
    return surface_measure(width_mm, length_mm) * max(1.0, thickness_mm / MM_PER_INCH)


def cubic_metres(thickness_mm: float, width_mm: float, length_mm: float) -> float:
    """Volume in cubic metres. Raises OutsideValidity for sizes of zero or less."""
    require_size(thickness_mm, width_mm, length_mm)
    return thickness_mm * width_mm * length_mm / MM3_PER_M3


@cache
def surfaced_sizes() -> dict[str, Surfaced]:
    """All nominal sizes by id, such as "hardwood 4/4" or "softwood width 4"."""
    return read("surfaced", Surfaced)


def surfaced_named(name: str) -> Surfaced:
    """The nominal size of that id. Raises UnknownName."""
    return named(surfaced_sizes(), "nominal size", name)


def require_size(*sizes_mm: float) -> None:
    """Raise OutsideValidity for a size of zero or less."""
    for size in sizes_mm:
        if not size > 0:
            raise OutsideValidity(f"A size of {size:g} mm is none.", "Give every size above zero.")

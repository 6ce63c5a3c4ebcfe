"""Buying timber: board feet by the two usual rules, cubic metres, and sizes after surfacing."""

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


def require_size(*sizes_mm: float) -> None:
    """Raises OutsideValidity when a size is not above 0."""
    for size in sizes_mm:
        if not size > 0:
            raise OutsideValidity(f"A size is {size:g} mm, not above 0.", "Give every size above 0.")

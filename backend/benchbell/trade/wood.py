"""Moisture content and movement of solid wood."""

from itertools import pairwise
from typing import Literal

from benchbell.findings import OutsideValidity
from benchbell.trade.air import degrees
from benchbell.trade.species import SHRINKS_BELOW_PERCENT, Species, coefficients, shrinkage

Cut = Literal["flat", "quarter", "rift"]

# The equation is checked against a table for 30 to 130 °F and 5 to 95 % (Wood Handbook, FPL-GTR-190, Table 4-2).
EMC_CELSIUS = ((30 - 32) / 1.8, (130 - 32) / 1.8)
EMC_HUMIDITY = (5, 95)
EMC_HOLDS = "where the moisture equation holds"
# Moisture content by humidity at the ends: bone dry, and fibre saturation, the handbook's start of shrinkage.
EMC_LIMITS = {0.0: 0.0, 100.0: float(SHRINKS_BELOW_PERCENT)}
# Within these eq. 13-2, which is linear, holds; below and above, up to 30 %, eq. 13-3.
LINEAR_PERCENT = (6, 14)


def emc_percent(celsius: float, humidity: float) -> float:
    """Equilibrium moisture content of wood in that air, in percent. humidity: relative, in percent.

    The same for all species; board products have less moisture than solid wood. At 0 % humidity it is 0, at 100 % the
    30 % at which wood stops swelling: the limits themselves, whatever the equation would give.
    Raises OutsideValidity when the air is outside 30 to 130 °F (-1.1 to 54.4 °C), or above 0 and below 5 %, or above
    95 and below 100 %.
    Source: Wood Handbook, FPL-GTR-190, eq. 4-5; the Celsius coefficients as in Simpson 1998, FPL-RN-0268.
    """
    (coldest, warmest), (driest, dampest) = EMC_CELSIUS, EMC_HUMIDITY
    if not coldest <= celsius <= warmest:
        raise OutsideValidity(
            f"{degrees(celsius)} is outside {degrees(coldest)} to {degrees(warmest)}, {EMC_HOLDS}.",
            "Read the thermometer again, or measure the wood with a moisture meter.",
        )
    if humidity in EMC_LIMITS:
        return EMC_LIMITS[humidity]
    if not driest <= humidity <= dampest:
        raise OutsideValidity(
            f"{humidity:g} % relative humidity is outside {driest} to {dampest} %, {EMC_HOLDS}.",
            "Read the hygrometer again, or measure the wood with a moisture meter; 0 and 100 % give the limits.",
        )
    w = 349 + 1.29 * celsius + 0.0135 * celsius**2
    k = 0.805 + 0.000736 * celsius - 0.00000273 * celsius**2
    k1 = 6.27 - 0.00938 * celsius - 0.000303 * celsius**2
    k2 = 1.91 + 0.0407 * celsius - 0.000293 * celsius**2
    kh = k * humidity / 100
    first, second = k1 * kh, k1 * k2 * kh**2
    return 1800 / w * (kh / (1 - kh) + (first + 2 * second) / (1 + first + second))


def movement_mm(wood: Species, cut: Cut, width_mm: float, from_percent: float, to_percent: float) -> float:
    """Change of a board's width across the grain in mm; negative when it shrinks.

    cut: flat-sawn width moves tangentially, quarter-sawn radially, rift by the mean of both (common practice).
    from_percent, to_percent: moisture content, 0 to 30 %.
    From 6 to 14 % by eq. 13-2, below and above by eq. 13-3. A change that crosses 6 or 14 % is taken in stretches, each
    from the width that the one before it reached: so more moisture never means less movement, and nothing jumps. The
    handbook does not say how to join its two equations; this way is common practice, no source.
    Raises OutsideValidity when a width is negative, a moisture content is outside 0 to 30 %, or the wood has not the
    figures that its equation needs.
    Source: Wood Handbook, FPL-GTR-190, eq. 13-2 and 13-3.
    """
    if not width_mm >= 0:
        raise OutsideValidity(f"A board cannot be {width_mm:g} mm wide.", "Give a width of zero or more.")
    for percent in (from_percent, to_percent):
        require_moves(percent)
    reached = width_mm
    for start, end in stretches(from_percent, to_percent):
        if is_linear(start, end):
            reached += reached * across(cut, coefficients(wood)) * (end - start)
        else:
            reached += movement_by_shrinkage_mm(across(cut, shrinkage(wood)), reached, start, end)
    return reached - width_mm


def stretches(from_percent: float, to_percent: float) -> list[tuple[float, float]]:
    """A change of moisture content cut at 6 and 14 %, in its direction."""
    low, high = min(from_percent, to_percent), max(from_percent, to_percent)
    edges = [low, *(edge for edge in LINEAR_PERCENT if low < edge < high), high]
    if from_percent > to_percent:
        edges.reverse()
    return list(pairwise(edges))


def movement_by_shrinkage_mm(
    shrinkage_percent: float, width_mm: float, from_percent: float, to_percent: float
) -> float:
    """Movement in mm by eq. 13-3. shrinkage_percent: green to ovendry. Moisture contents up to 30 %."""
    points = SHRINKS_BELOW_PERCENT * 100 / shrinkage_percent - SHRINKS_BELOW_PERCENT + from_percent
    return width_mm * (to_percent - from_percent) / points


def is_linear(from_percent: float, to_percent: float) -> bool:
    """Whether eq. 13-2 holds for both moisture contents."""
    least, most = LINEAR_PERCENT
    return least <= min(from_percent, to_percent) and max(from_percent, to_percent) <= most


def across(cut: Cut, radial_tangential: tuple[float, float]) -> float:
    """The figure for a board's width, of a radial and a tangential one."""
    radial, tangential = radial_tangential
    return {"quarter": radial, "flat": tangential, "rift": (radial + tangential) / 2}[cut]


def require_moves(percent: float) -> None:
    """Raises OutsideValidity when a moisture content is outside 0 to 30 %, where wood moves."""
    if not 0 <= percent <= SHRINKS_BELOW_PERCENT:
        raise OutsideValidity(
            f"Moisture content {percent:g} % is outside 0 to {SHRINKS_BELOW_PERCENT} %, where wood swells and shrinks.",
            "Measure again; let wetter wood dry first.",
        )

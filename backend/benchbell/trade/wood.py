"""Moisture content and movement of solid wood."""

from typing import Literal

from benchbell.findings import OutsideValidity
from benchbell.trade.species import SHRINKS_BELOW_PERCENT, Species, coefficients, shrinkage

Cut = Literal["flat", "quarter", "rift"]

# The equation is checked against a table for 30 to 130 °F and 5 to 95 % (Wood Handbook, FPL-GTR-190, Table 4-2).
EMC_CELSIUS = ((30 - 32) / 1.8, (130 - 32) / 1.8)
EMC_HUMIDITY = (5, 95)
# Within these eq. 13-2, which is linear, holds; up to 30 % eq. 13-3.
LINEAR_PERCENT = (6, 14)


def emc_percent(celsius: float, humidity: float) -> float:
    """Equilibrium moisture content of wood in that air, in percent. humidity: relative, in percent.

    The same for all species; board products have less moisture than solid wood.
    Raises OutsideValidity when the air is outside 30 to 130 °F (-1.1 to 54.4 °C) or 5 to 95 %.
    Source: Wood Handbook, FPL-GTR-190, eq. 4-5; the Celsius coefficients as in Simpson 1998, FPL-RN-0268.
    """
    require_within(celsius, EMC_CELSIUS, "°C")
    require_within(humidity, EMC_HUMIDITY, "% relative humidity")
    w = 349 + 1.29 * celsius + 0.0135 * celsius**2
    k = 0.805 + 0.000736 * celsius - 0.00000273 * celsius**2
    k1 = 6.27 - 0.00938 * celsius - 0.000303 * celsius**2
    k2 = 1.91 + 0.0407 * celsius - 0.000293 * celsius**2
    kh = k * humidity / 100
    first, second = k1 * kh, k1 * k2 * kh**2
    return 1800 / w * (kh / (1 - kh) + (first + 2 * second) / (1 + first + second))


def require_within(value: float, between: tuple[float, float], unit: str) -> None:
    """Raises OutsideValidity when a reading is outside the range of the moisture equation."""
    least, most = between
    if not least <= value <= most:
        raise OutsideValidity(
            f"{value:g} {unit} is outside {least:.3g} to {most:.3g} {unit}, where the moisture equation holds.",
            "Read the instrument again, or measure the wood with a moisture meter.",
        )


def movement_mm(wood: Species, cut: Cut, width_mm: float, from_percent: float, to_percent: float) -> float:
    """Change of a board's width across the grain in mm; negative when it shrinks.

    cut: flat-sawn width moves tangentially, quarter-sawn radially, rift by the mean of both (common practice).
    from_percent, to_percent: moisture content, 0 to 30 %.
    Raises OutsideValidity when one is outside 0 to 30 %, or the wood has not the figures that its equation needs.
    Source: Wood Handbook, FPL-GTR-190, eq. 13-2 within 6 to 14 %, else eq. 13-3.
    """
    for percent in (from_percent, to_percent):
        require_moves(percent)
    if is_linear(from_percent, to_percent):
        return width_mm * across(cut, coefficients(wood)) * (to_percent - from_percent)
    return movement_by_shrinkage_mm(across(cut, shrinkage(wood)), width_mm, from_percent, to_percent)


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

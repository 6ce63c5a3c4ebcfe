"""How heavy stock is, and from which weight on help is wanted."""

from benchbell.findings import Refused
from benchbell.trade.species import density_kg_per_m3, species_named
from benchbell.trade.timber import MaterialKind

HEAVY_KG = 23.0
"""What one person should lift at most, where the lift is as easy as it can be: 51 lb.

Source: the load constant of the revised lifting equation, NIOSH Publication 94-110.
"""

KG_PER_M3: dict[MaterialKind, float] = {"solid": 750, "sheet": 750, "veneer": 750, "other": 2500}
"""By material, what stock weighs of which no more is known: a hard wood, MDF, glass. Common practice, no source."""

SHEET_M2 = 2.44 * 1.22
"""A sheet as it is usually sold, 8 by 4 ft. Common practice, no source."""


def stock_kg_per_m3(stock: str, material: MaterialKind) -> float:
    """What a stock weighs: a known wood at 12 % moisture, or else what is usual for the material."""
    try:
        return density_kg_per_m3(species_named(stock)) if material in ("solid", "veneer") else KG_PER_M3[material]
    except Refused:
        return KG_PER_M3[material]


def sheet_kg(thickness_mm: float) -> float:
    """The weight of a whole sheet."""
    return SHEET_M2 * thickness_mm / 1000 * KG_PER_M3["sheet"]

"""Wood bent with steam: how long in the box, how far it bends, and how long on the form."""

from functools import cache

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.trade.species import species_named
from benchbell.trade.tables import Grade, read

TESTED_MM = 25
"""The thickness for which the table's radii hold."""

STEAM_MINUTES_PER_MM = 60 / 25
"""An hour for each 25 mm or inch of thickness: common practice, told by several makers' pages."""

DRY_STEAM_MINUTES_PER_MM = 3.0
"""Of wood well below 20 % moisture, as from a kiln. Wood Handbook, FPL-GTR-190, ch. 19, from memory: 30 min/cm."""

OVER_STEAMED = 1.5
"""So many times its time in the box wrinkles the wood inside the bend. Common practice, no source."""

FORM_MINUTES = 24 * 60
"""The least time on the form until a bend has cooled and begun to dry. Common practice, no source; days are better."""


class Bending(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Woods that bend alike; tables/bending.toml explains every field. Radii in mm, of a piece 25 mm thick."""

    id: str
    woods: tuple[str, ...]
    free_mm: float
    strap_mm: float
    poor: str = ""
    grade: Grade
    source: str


@cache
def bendings() -> dict[str, Bending]:
    """All rows by id."""
    return read("bending", Bending)


def bending_of(stock: str) -> Bending:
    """How a stock bends: as its wood does, or else as any other wood that bends well."""
    try:
        wood = species_named(stock).id
    except Refused:
        wood = ""
    return next((row for row in bendings().values() if wood in row.woods), bendings()["others"])


def least_radius_mm(row: Bending, thickness_mm: float, strap: bool) -> float:
    """The least inside radius in mm to which a piece of that thickness usually bends."""
    return (row.strap_mm if strap else row.free_mm) * thickness_mm / TESTED_MM


def steam_minutes(thickness_mm: float, kiln_dried: bool) -> float:
    """How long a piece of that thickness steams, in minutes."""
    return thickness_mm * (DRY_STEAM_MINUTES_PER_MM if kiln_dried else STEAM_MINUTES_PER_MM)

"""What a shop fits that is not wood, and that a machine for wood does not cut."""

import re
from functools import cache

from msgspec import Struct

from benchbell.trade.tables import Grade, read

WOODY = re.compile(
    r"wood\b|\wboard\b|\b(?:ply|mdf|hdf|dowels?|pegs?|veneers?|boards?|battens?|bamboo|cork|timber|lumber)\b",
    re.IGNORECASE,
)
"""Words of stock that the tools for wood cut, whatever its wood."""


class NotWood(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One such material; tables/not_wood.toml explains every field."""

    id: str
    words: tuple[str, ...]
    fine_at: tuple[str, ...]
    instead: str
    grade: Grade
    source: str


@cache
def not_wood() -> dict[str, NotWood]:
    """All such materials by id."""
    return read("not_wood", NotWood)


def material_of(stock: str) -> NotWood | None:
    """The material that a stock's name names, such as glass of "float glass 4 mm"; None when it names none."""
    for material in not_wood().values():
        if re.search(rf"\b(?:{'|'.join(material.words)})s?\b", stock, re.IGNORECASE):
            return material
    return None


def is_woody(stock: str) -> bool:
    """Whether a stock's name says that the tools for wood cut it: "beech dowel", "hardboard"."""
    return WOODY.search(stock) is not None

"""Woods by trade name: movement and density."""

import re
from difflib import get_close_matches
from functools import cache

from msgspec import Struct

from benchbell.findings import OutsideValidity, UnknownName, did_you_mean
from benchbell.trade.tables import Grade, read

# Linear shrinkage begins at 30 % moisture (Wood Handbook, FPL-GTR-190, ch. 13). A coefficient refers to the size at
# 10 %, when 20 of those 30 points have shrunk it already.
SHRINKS_BELOW_PERCENT, REFERRED_TO_PERCENT = 30, 10
WATER_KG_PER_M3 = 1000
USUAL_MOISTURE_PERCENT = 12

NEAR_WOOD = 0.85
"""How alike a text and a wood's name must be to be taken for a slip, 0 to 1."""


class Species(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A wood; tables/species.toml explains every field. Pairs are radial, tangential."""

    id: str
    also: tuple[str, ...] = ()
    coefficients: tuple[float, float] | None = None
    shrinkage: tuple[float, float] | None = None
    gravity: float | None = None
    oily: bool = False
    grade: Grade
    shrinkage_grade: Grade | None = None
    gravity_grade: Grade | None = None
    source: str
    note: str = ""


@cache
def species() -> dict[str, Species]:
    """All woods by id."""
    return read("species", Species)


def species_named(name: str) -> Species:
    """The wood of that name: "white oak", "Oak, white" and "WHITE OAK" are one.

    Raises UnknownName with the nearest names, or with all woods a name such as "oak" could mean.
    """
    found = by_words().get(words(name))
    if found is None:
        raise not_one_wood(name)
    return found


@cache
def by_words() -> dict[frozenset[str], Species]:
    """The woods by the words of each of their names."""
    return {words(name): wood for wood in species().values() for name in (wood.id, *wood.also)}


def words(name: str) -> frozenset[str]:
    """The words of a name without order, capitals and commas; "wood" does not count."""
    return frozenset(re.findall(r"[a-z]+", name.casefold())) - {"wood"}


def not_one_wood(name: str) -> UnknownName:
    """An exception for a name of no wood, or of several."""
    if could_be := woods_with(words(name)):
        return UnknownName(f'"{name}" could be several woods.', f"Use one of: {'; '.join(could_be)}.")
    near = woods_with(mended(words(name)))
    hint = did_you_mean(near) if near else "Use a trade name, such as white oak or sugar maple."
    return UnknownName(f'No wood is called "{name}".', hint)


def is_wood(name: str) -> bool:
    """Whether this is the name of a wood, or of several."""
    return words(name) in by_words() or bool(woods_with(words(name)))


def near_wood(name: str) -> str:
    """The wood that a slip of its name nearly is; "" for a wood's name, and for what is like none."""
    known = {one.casefold(): wood.id for wood in species().values() for one in (wood.id, *wood.also)}
    near = () if is_wood(name) else get_close_matches(name.casefold(), known, n=1, cutoff=NEAR_WOOD)
    return known[near[0]] if near else ""


def woods_with(some: frozenset[str]) -> list[str]:
    """The woods that have all these words in one of their names."""
    return sorted({wood.id for known, wood in by_words().items() if some and some <= known})


def mended(misspelt: frozenset[str]) -> frozenset[str]:
    """Each word replaced by the nearest word in any wood's name; a word near none is dropped."""
    vocabulary = sorted(frozenset().union(*by_words()))
    return frozenset(near for word in sorted(misspelt) for near in get_close_matches(word, vocabulary, n=1))


def coefficients(wood: Species) -> tuple[float, float]:
    """Radial and tangential change in size per 1 % of moisture content, from 6 to 14 %.

    As printed in the Wood Handbook, FPL-GTR-190, Table 13-5, or derived from the shrinkage where it prints none.
    Raises OutsideValidity when the wood has neither.
    """
    if wood.coefficients is not None:
        return wood.coefficients
    radial, tangential = shrinkage(wood)
    return derived_coefficient(radial), derived_coefficient(tangential)


def derived_coefficient(shrinkage_percent: float) -> float:
    """A coefficient per 1 % from the shrinkage green to ovendry in percent: linear, referred to the size at 10 %.

    Not an equation of the handbook; for most woods with both figures in it, the results agree to five decimals.
    """
    per_point = shrinkage_percent / 100 / SHRINKS_BELOW_PERCENT
    return per_point / (1 - per_point * (SHRINKS_BELOW_PERCENT - REFERRED_TO_PERCENT))


def shrinkage(wood: Species) -> tuple[float, float]:
    """Radial and tangential shrinkage, percent of the green size. Raises OutsideValidity when it is unknown."""
    if wood.shrinkage is None:
        raise OutsideValidity(
            f"No shrinkage is known for {wood.id}, and outside 6 to 14 % moisture content the rule needs it.",
            "Stay within 6 to 14 %, or use the figures of a similar wood.",
        )
    return wood.shrinkage


def density_kg_per_m3(wood: Species) -> float:
    """Density at 12 % moisture content, in kg/m3. Raises OutsideValidity when it is unknown."""
    if wood.gravity is None:
        raise OutsideValidity(
            f"No density is known for {wood.id}.", "Weigh an offcut, or use the figures of a similar wood."
        )
    return wood.gravity * WATER_KG_PER_M3 * (1 + USUAL_MOISTURE_PERCENT / 100)

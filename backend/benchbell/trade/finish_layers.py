"""What finish may go over what. All of it common practice, no source; both labels come first."""

from msgspec import Struct

from benchbell.trade.finish import Finish

SEALER = "shellac"
"""The finish that holds on every other, for which it is put between two that do not agree."""

THIN_COATS = 2
"""So many coats of the sealer leave the wood open enough for an oil; more are a film."""

HOT = "lacquer"
"""The finish whose solvents lift what has not cured."""


class Layering(Struct, frozen=True):
    """Why one finish does not go over another. until_cured: it does once the other has cured. why: ends a sentence."""

    until_cured: bool
    why: str


WATER_OVER_OIL = Layering(True, "it does not hold on it before that is cured")
LACQUER_OVER_OIL = Layering(True, "its solvents wrinkle what is not cured")
OIL_OVER_FILM = Layering(False, "a film lets no oil soak in: it stays sticky on top")
FILM_OVER_WAX = Layering(False, "its wax lets no film hold, however long it has cured")


def layering(over: Finish, under: Finish, films: int = 1) -> Layering | None:
    """What speaks against one finish over another; None where nothing does, as with shellac over any.

    films: how many coats that make a film, of whatever finish, lie directly under it.
    """
    if over.id == SEALER:
        return None
    if under.id == SEALER:
        return OIL_OVER_FILM if soaks_in(over) and films > THIN_COATS else None
    if under.waxy and not soaks_in(over):
        return FILM_OVER_WAX
    if over.base == "water" and under.base == "oil":
        return WATER_OVER_OIL
    if over.id == HOT and under.base == "oil":
        return LACQUER_OVER_OIL
    return OIL_OVER_FILM if soaks_in(over) and not soaks_in(under) else None


def soaks_in(finish: Finish) -> bool:
    """Whether a finish soaks in, so that what stays on the surface is wiped off; the others make a film."""
    return finish.wipe_to_minutes is not None

"""How sure a forecast sounds, on the terminal and the page alike: where nothing was timed, nothing is called sure."""

from typing import Literal

Basis = Literal["timed", "guessed"]

BY: dict[Basis, str] = {"timed": "surely by", "guessed": "most likely no later than"}
"""What comes before the moment that is kept 9 of 10 times."""

LESS_SURE = ((7, "likely kept"), (4, "as likely kept as not"), (1, "hardly kept"), (0, "not kept by this plan"))

KEPT: dict[Basis, tuple[tuple[int, str], ...]] = {
    "timed": ((9, "surely kept"), *LESS_SURE),
    "guessed": ((9, "most likely kept"), *LESS_SURE),
}
"""From so many times of ten, what is said of a promise."""


def basis(timed: int) -> Basis:
    """Whether work was timed in this shop. timed: how many operations were."""
    return "timed" if timed else "guessed"

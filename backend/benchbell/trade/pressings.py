"""How veneer is pressed flat, and what pressure each way gives or needs."""

from functools import cache
from typing import Literal

from msgspec import Struct

from benchbell.trade.tables import Grade, read

Press = Literal["cauls", "screw press", "vacuum", "hammer"]

HAMMERED = "hide-hot"
"""The glue that needs no press, because it holds as it gels. Common practice, no source."""


class Pressing(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A way to press veneer; tables/pressings.toml explains every field. Pressures in N/mm², which is MPa."""

    id: str
    title: str
    gives_n_per_mm2: float | None = None
    needs_n_per_mm2: float | None = None
    grade: Grade
    source: str


PRESSES: dict[Press, str] = {"vacuum": "vacuum press", "screw press": "screw press"}
"""The ways for which the shop has a press, and its name there. Nobody gets at the glue line while work is in it."""


@cache
def pressings() -> dict[str, Pressing]:
    """All ways by id."""
    return read("pressings", Pressing)

"""Every name in the trade's tables by kind, for people, editors and the correction of slips."""

from collections.abc import Callable, Mapping
from typing import Any

from msgspec import Struct

from benchbell.trade.cautions import cautions
from benchbell.trade.clamps import clamps
from benchbell.trade.finish import finishes
from benchbell.trade.glue import glues
from benchbell.trade.species import species
from benchbell.trade.stations import stations

TABLES: dict[str, Callable[[], Mapping[str, Any]]] = {
    "station": stations,
    "glue": glues,
    "finish": finishes,
    "clamp": clamps,
    "wood": species,
    "caution": cautions,
}
"""By kind, its table."""


class NamedThing(Struct, frozen=True):
    """One row of a table. also: its other names. about: its title or text; "" where the name says all."""

    name: str
    also: tuple[str, ...]
    about: str


def names_of(kind: str) -> tuple[NamedThing, ...]:
    """The names of a kind, in the table's order. kind: a key of TABLES."""
    return tuple(
        NamedThing(id, tuple(getattr(row, "also", ())), getattr(row, "title", "") or getattr(row, "text", ""))
        for id, row in TABLES[kind]().items()
    )


def choices(kind: str) -> list[str]:
    """Every name that a recipe may use for things of a kind: ids first, then their other names."""
    things = names_of(kind)
    return [*(thing.name for thing in things), *(other for thing in things for other in thing.also)]

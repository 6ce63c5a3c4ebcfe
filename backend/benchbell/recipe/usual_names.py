"""A recipe with the tables' own names in place of other names of the same: planer for thicknesser.

An unknown name stays as it is written, so that its finding can quote it. A part's stock stays too: it is what the
maker asks for when buying.
"""

from collections.abc import Callable
from typing import Any

from msgspec.structs import replace

from benchbell.findings import Refused
from benchbell.recipe.coat_text import CoatText
from benchbell.recipe.glue_text import GlueText
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.written import OperationText, Recipe
from benchbell.trade.cautions import caution_named
from benchbell.trade.clamps import clamp_named
from benchbell.trade.finish import finish_named
from benchbell.trade.glue import glue_named
from benchbell.trade.stations import station_named


def with_usual_names(recipe: Recipe) -> Recipe:
    """The recipe with the usual names of stations, glues, finishes, clamps and cautions."""
    setups = [replace(setup, station=usual(station_named, setup.station)) for setup in recipe.setup]
    return replace(recipe, setup=setups, operation=[of_operation(op) for op in recipe.operation])


def of_operation(op: OperationText) -> OperationText:
    """An operation with the usual names."""
    return replace(
        op,
        station=usual(station_named, op.station),
        glue=op.glue and of_glue(op.glue),
        coat=[of_coat(one) for one in op.coat] if isinstance(op.coat, list) else op.coat and of_coat(op.coat),
        caution=[usual(caution_named, name) for name in op.caution],
    )


def of_glue(glue: GlueText) -> GlueText:
    """A glue-up with the usual names. Clamps that are written by two names of one kind are counted together."""
    return replace(glue, with_=usual(glue_named, glue.with_), clamps=usual_counts(glue.clamps))


def of_coat(coat: CoatText) -> CoatText:
    """Coats with the finish's usual name."""
    return replace(coat, with_=usual(finish_named, coat.with_))


def of_shop(shop: ShopProfile) -> ShopProfile:
    """A shop profile with the usual names of its clamps and glues.

    Raises UnknownName for a clamp or glue that is in no table.
    """
    labels = {glue_named(name).id: label for name, label in shop.labels.items()}
    for kind in shop.clamps:
        clamp_named(kind)
    return replace(shop, clamps=usual_counts(shop.clamps), labels=labels)


def usual_counts(counts: dict[str, int]) -> dict[str, int]:
    """Counts of clamps by the usual name of their kind."""
    found: dict[str, int] = {}
    for name, count in counts.items():
        kind = usual(clamp_named, name)
        found[kind] = found.get(kind, 0) + count
    return found


def usual(row_named: Callable[[str], Any], name: str) -> str:
    """The id of the row of that name; the name itself when it is empty or unknown."""
    try:
        return str(row_named(name).id) if name else ""
    except Refused:
        return name

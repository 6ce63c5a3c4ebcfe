"""Which end of a part meets what, told on both sides of the joint."""

from collections.abc import Sequence

from msgspec.structs import replace

from benchbell.recipe.notes import Notes, use_one_of
from benchbell.recipe.pieces import Copies
from benchbell.recipe.sheet import Mate, Part
from benchbell.recipe.written import Recipe


def with_mates(parts: Sequence[Part], recipe: Recipe, copies: Copies, notes: Notes) -> list[Part]:
    """The parts with what they meet, once all assemblies have their names."""
    mates = {part.id: mates_of(part, recipe, copies, notes) for part in parts}
    told = {id: {mate.to for mate in of_part} for id, of_part in mates.items()}
    for id, of_part in list(mates.items()):
        for mate in of_part:
            if mate.to in mates and id not in told[mate.to]:
                mates[mate.to] = [*mates[mate.to], Mate(mate.at, id, mate.end)]
    return [replace(part, mates=tuple(mates[part.id])) for part in parts]


def mates_of(part: Part, recipe: Recipe, copies: Copies, notes: Notes) -> list[Mate]:
    """What the recipe says a part meets."""
    number, copy = copies.written[part.id]
    mates: list[Mate] = []
    for mate in recipe.part[number].mates:
        if mate.n not in (None, copy):
            continue
        met = copies.ids(mate.to, part.piece)
        if not met:
            what = f"Part {recipe.part[number].id} meets “{mate.to}”, which is no part or assembly here."
            notes.error("unknown-name", ("part", number, "mates"), what, use_one_of(mate.to, copies.by_name))
        mates += [Mate(mate.end, one, mate.at) for one in met]
    return mates

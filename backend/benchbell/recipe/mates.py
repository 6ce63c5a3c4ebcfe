"""What the ends of parts meet, listed on both parts of a joint."""

from collections.abc import Sequence

from msgspec.structs import replace

from benchbell.findings import use_one_of
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.pieces import PartIndex
from benchbell.recipe.sheet import Mate, Part
from benchbell.recipe.written import Recipe


def with_mates(parts: Sequence[Part], recipe: Recipe, index: PartIndex, findings: FindingList) -> list[Part]:
    """The parts with their mates; called when all assemblies are in the index."""
    mates = {part.id: mates_of(part, recipe, index, findings) for part in parts}
    written = {id: {mate.to for mate in of_part} for id, of_part in mates.items()}
    for id, of_part in list(mates.items()):
        for mate in of_part:
            if mate.to in mates and id not in written[mate.to]:
                mates[mate.to] = [*mates[mate.to], Mate(mate.at, id, mate.end)]
    return [replace(part, mates=tuple(mates[part.id])) for part in parts]


def mates_of(part: Part, recipe: Recipe, index: PartIndex, findings: FindingList) -> list[Mate]:
    """The mates that the recipe writes for a part; an unknown name gives a finding."""
    number, copy = index.row_and_copy[part.id]
    mates: list[Mate] = []
    for mate in recipe.part[number].mates:
        if mate.n not in (None, copy):
            continue
        ids = index.ids(mate.to, part.piece)
        if not ids:
            what = f"Part {recipe.part[number].id} meets “{mate.to}”, which is not a part or assembly."
            findings.error("unknown-name", ("part", number, "mates"), what, use_one_of(mate.to, index.by_name))
        mates += [Mate(mate.end, id, mate.at) for id in ids]
    return mates

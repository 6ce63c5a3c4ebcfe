"""What is joined in what, what was spoiled, and what that reopens."""

from collections.abc import Container, Mapping

from benchbell.bench.book import Book
from benchbell.bench.happenings import Stamp
from benchbell.recipe.sheet import Sheet

NEVER = Stamp(-1, 0, "")
"""Before every stamp."""

Inside = Mapping[str, tuple[str, ...]]
"""For every part and assembly: itself and all that is joined in it, at any depth."""


def members(sheet: Sheet) -> dict[str, tuple[str, ...]]:
    """Inside, from the sheet. Assemblies stand in the order in which they are made."""
    inside: dict[str, tuple[str, ...]] = {part.id: (part.id,) for part in sheet.parts}
    for assembly in sheet.assemblies:
        inside[assembly.id] = (assembly.id, *(one for joined in assembly.of for one in inside.get(joined, ())))
    return inside


def latest_within(book: Book, kind: str, inside: Inside) -> dict[str, Stamp]:
    """When each was last spoiled, or remade, itself or together with an assembly it is in; NEVER if it was not."""
    latest = dict.fromkeys(inside, NEVER)
    for id, joined in inside.items():
        h = book.latest(kind, id)
        if h is not None:
            for one in joined:
                latest[one] = max(latest[one], h.at)
    return latest


def fresh_since(book: Book, inside: Inside) -> dict[str, Stamp]:
    """From when on work counts for each: the last time it, or something in it, was spoiled."""
    spoilt = latest_within(book, "spoiled", inside)
    return {id: max(spoilt[one] for one in joined) for id, joined in inside.items()}


def lost_parts(book: Book, inside: Inside) -> set[str]:
    """What is spoiled, or has something spoiled in it, and has not been begun again."""
    spoilt, remade = latest_within(book, "spoiled", inside), latest_within(book, "remade", inside)
    gone = {id for id in inside if spoilt[id] > remade[id]}
    return {id for id, joined in inside.items() if gone.intersection(joined)}


def next_operations(sheet: Sheet, inside: Inside, done: Container[str]) -> dict[str, str]:
    """For each part or assembly, the first operation it still has to go through, alone or inside another."""
    coming: dict[str, str] = {}
    for op in sheet.operations:
        if op.id not in done:
            for part in op.parts:
                for one in inside.get(part, ()):
                    coming.setdefault(one, op.id)
    return coming

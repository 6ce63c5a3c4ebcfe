"""What is joined in what, what was spoiled, and what that reopens. Twin: pwa/src/bench/parts.ts."""

from collections.abc import Container, Mapping

from msgspec import Struct

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


class Spoils(Struct, frozen=True):
    """What is lost, and from when on work counts for each part and assembly (NEVER: from the start).

    lost: is spoiled, or has something spoiled in it, and was not begun again.
    fresh: when it, or something in it, was begun again after it was last spoiled; spoiled, where it is lost.
    """

    lost: frozenset[str]
    fresh: dict[str, Stamp]


def spoils(book: Book, inside: Inside) -> Spoils:
    """What was spoiled and remade, each itself or together with an assembly it is in."""
    spoilt, remade = stamps_within(book, "spoiled", inside), stamps_within(book, "remade", inside)
    last = {id: max(spoilt[id], default=NEVER) for id in inside}
    again = {id: [at for at in remade[id] if at > last[id] > NEVER] for id in inside}
    gone = {id for id in inside if spoilt[id] and not again[id]}
    own = {id: min(again[id], default=last[id]) for id in inside}
    return Spoils(
        frozenset(id for id, joined in inside.items() if gone.intersection(joined)),
        {id: max(own[one] for one in joined) for id, joined in inside.items()},
    )


def stamps_within(book: Book, kind: str, inside: Inside) -> dict[str, list[Stamp]]:
    """All stamps of a kind for each part and assembly: its own, and those of assemblies it is in."""
    found: dict[str, list[Stamp]] = {id: [] for id in inside}
    for id, joined in inside.items():
        for h in book.all(kind, id):
            for one in joined:
                found[one].append(h.at)
    return found


def next_operations(sheet: Sheet, inside: Inside, done: Container[str]) -> dict[str, str]:
    """For each part or assembly, the first operation it still has to go through, alone or inside another."""
    coming: dict[str, str] = {}
    for op in sheet.operations:
        if op.id not in done:
            for part in op.parts:
                for one in inside.get(part, ()):
                    coming.setdefault(one, op.id)
    return coming

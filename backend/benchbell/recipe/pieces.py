"""From one piece as written to the parts of all pieces: ids, copies, places."""

from string import ascii_uppercase

from msgspec import Struct

from benchbell.recipe.named_sizes import Figure, Names, lengths_of
from benchbell.recipe.notes import Notes
from benchbell.recipe.sheet import Part
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.written import PartText, Recipe

MOST_PIECES = len(ascii_uppercase)
MEASURES = 3
"""Along the grain, across it, through the thickness."""


class Copies(Struct):
    """How recipes name parts and assemblies.

    by_name: the ids a name stands for in each piece: {"leg": {"A": ("A/leg-1", …)}}.
    written: by part's id, the row it comes from and which copy it is, from 1.
    """

    by_name: dict[str, dict[str, tuple[str, ...]]]
    written: dict[str, tuple[int, int]]

    def ids(self, name: str, piece: str) -> tuple[str, ...]:
        """The ids of a part or assembly in a piece, or of one for the whole build; empty when there is none."""
        of_piece = self.by_name.get(name, {})
        return of_piece.get(piece) or of_piece.get("", ())

    def known(self, name: str) -> bool:
        """Whether any part or assembly goes by this name."""
        return name in self.by_name


def letters(pieces: int) -> tuple[str, ...]:
    """The pieces' letters: A, B, C …"""
    return tuple(ascii_uppercase[:pieces])


def in_piece(piece: str, name: str) -> str:
    """The id of something in a piece: "A/leg-1"; without a piece just its name."""
    return f"{piece}/{name}" if piece else name


def names_of(written: PartText) -> list[str]:
    """What its copies are called in a piece: leg, or leg-1, leg-2 …"""
    return [f"{written.id}-{n}" for n in range(1, written.count + 1)] if written.count > 1 else [written.id]


def all_parts(recipe: Recipe, pieces: tuple[str, ...], names: Names, notes: Notes) -> tuple[list[Part], Copies]:
    """Every part of every piece, and how recipes name them."""
    copies = Copies({}, {})
    parts: list[Part] = []
    for number, written in enumerate(recipe.part):
        path = ("part", number)
        figures = sizes_of(written, names, path, notes)
        check_copies(written, path, notes)
        if not is_new(written, copies, path, notes):
            continue
        for piece in ("",) if written.once else pieces:
            made = [part_of(written, piece, n, figures) for n in range(1, written.count + 1)]
            parts += made
            copies.written |= {part.id: (number, n) for n, part in enumerate(made, 1)}
            name_copies(copies, written, piece, [part.id for part in made])
    return parts, copies


def name_copies(copies: Copies, written: PartText, piece: str, ids: list[str]) -> None:
    """Let the part's name stand for all copies, and name-1, name-2 … for each when there are several."""
    copies.by_name.setdefault(written.id, {})[piece] = tuple(ids)
    if len(ids) > 1:
        for name, id in zip(names_of(written), ids, strict=True):
            copies.by_name.setdefault(name, {})[piece] = (id,)


def is_new(written: PartText, copies: Copies, path: Path, notes: Notes) -> bool:
    """Whether no part has its name, or that of one of its copies, already."""
    taken = [name for name in (written.id, *names_of(written)) if copies.known(name)]
    if taken:
        notes.error("twice", path, f"Part {taken[0]} is there twice.", "Give each its own id.")
    return not taken


def check_copies(written: PartText, path: Path, notes: Notes) -> None:
    """Findings where copies do not agree with places, pairs or mates."""
    if written.places and len(written.places) != written.count:
        what = f"Part {written.id} has {written.count} copies and {len(written.places)} places."
        notes.error("places", path, what, "Name one place for each copy.")
    if written.pair and written.count % 2:
        what = f"Part {written.id} is made in mirrored pairs, and its count is {written.count}."
        notes.error("odd-pair", path, what, "Make it an even count, or take out pair.")
    for mate in written.mates:
        if mate.n is not None and mate.n > written.count:
            what = f"Part {written.id} has {written.count} copies; mates speaks of copy {mate.n}."
            notes.error("no-copy", (*path, "mates"), what, "Correct n, or the count.")


def sizes_of(written: PartText, names: Names, path: Path, notes: Notes) -> list[Figure]:
    """A part's measures. Solid wood and sheets have three."""
    if written.material != "other" and len(written.size) < MEASURES:
        what = f"Part {written.id} is {written.material} and has {len(written.size)} of 3 sizes."
        notes.error("missing-size", (*path, "size"), what, "Write length along the grain, width and thickness.")
    return lengths_of(written.size, names, (*path, "size"), f"Part {written.id}", notes)


def part_of(written: PartText, piece: str, n: int, figures: list[Figure]) -> Part:
    """One copy of a part, from 1, without its mates."""
    several = written.count > 1
    name = names_of(written)[n - 1]
    title = written.title or written.id.replace("-", " ").capitalize()
    hand = ("left" if n % 2 else "right") if written.pair else ""
    return Part(
        id=in_piece(piece, name),
        piece=piece,
        name=name,
        title=f"{title} {n}" if several else title,
        stock=written.stock,
        material=written.material,
        size=tuple(figure.compiled.postfix for figure in figures),
        plan_mm=tuple(figure.plan for figure in figures),
        grain=written.grain,
        place=written.places[n - 1] if n <= len(written.places) else written.place,
        mark=", ".join(text for text in (hand, written.mark) if text),
    )

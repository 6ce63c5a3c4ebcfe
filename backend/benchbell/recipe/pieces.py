"""The parts of all pieces, made from the parts of one piece as written: ids, copies, places."""

from string import ascii_uppercase

from msgspec import Struct

from benchbell.findings import counted
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.named_sizes import CheckedFormula, FormulaScope, positive_lengths
from benchbell.recipe.sheet import MEASURES, Part
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.written import PartText, Recipe

MOST_PIECES = len(ascii_uppercase)


class PartIndex(Struct):
    """The parts and assemblies that each name in a recipe stands for.

    by_name: by name and piece, the ids: {"leg": {"A": ("A/leg-1", …)}}.
    row_and_copy: by part's id, its row in the recipe and the number of the copy, from 1.
    """

    by_name: dict[str, dict[str, tuple[str, ...]]]
    row_and_copy: dict[str, tuple[int, int]]

    def ids(self, name: str, piece: str) -> tuple[str, ...]:
        """The ids a name stands for in a piece, or in the whole build; empty when there is no such name."""
        of_piece = self.by_name.get(name, {})
        return of_piece.get(piece) or of_piece.get("", ())

    def known(self, name: str) -> bool:
        """Whether a part or assembly has this name."""
        return name in self.by_name


def letters(pieces: int) -> tuple[str, ...]:
    """The pieces' letters: A, B, C …"""
    return tuple(ascii_uppercase[:pieces])


def in_piece(piece: str, name: str) -> str:
    """The id of something in a piece: "A/leg-1"; without a piece, its name."""
    return f"{piece}/{name}" if piece else name


def copy_names(written: PartText) -> list[str]:
    """The names of a part's copies in a piece: leg, or leg-1, leg-2 …"""
    return [f"{written.id}-{n}" for n in range(1, written.count + 1)] if written.count > 1 else [written.id]


def all_parts(
    recipe: Recipe, pieces: tuple[str, ...], scope: FormulaScope, findings: FindingList
) -> tuple[list[Part], PartIndex]:
    """Every part of every piece, and the index of their names."""
    index = PartIndex({}, {})
    parts: list[Part] = []
    for number, written in enumerate(recipe.part):
        path = ("part", number)
        formulas = sizes_of(written, scope, path, findings)
        check_copies(written, path, findings)
        if not is_new(written, index, path, findings):
            continue
        for piece in ("",) if written.once else pieces:
            made = [part_of(written, piece, n, formulas) for n in range(1, written.count + 1)]
            parts += made
            index.row_and_copy |= {part.id: (number, n) for n, part in enumerate(made, 1)}
            name_copies(index, written, piece, [part.id for part in made])
    return parts, index


def name_copies(index: PartIndex, written: PartText, piece: str, ids: list[str]) -> None:
    """Add to the index: the part's name for all its copies, and name-1, name-2 … for each of several."""
    index.by_name.setdefault(written.id, {})[piece] = tuple(ids)
    if len(ids) > 1:
        for name, id in zip(copy_names(written), ids, strict=True):
            index.by_name.setdefault(name, {})[piece] = (id,)


def is_new(written: PartText, index: PartIndex, path: Path, findings: FindingList) -> bool:
    """Whether its name and its copies' names are free; if not, add a finding."""
    taken = [name for name in (written.id, *copy_names(written)) if index.known(name)]
    if taken:
        findings.error("twice", path, f"There are two parts {taken[0]}.", "Give each its own id.")
    return not taken


def check_copies(written: PartText, path: Path, findings: FindingList) -> None:
    """Add findings where the number of copies does not fit places, pair or mates."""
    if written.places and len(written.places) != written.count:
        what = f"Part {written.id} has {copies_of(written)}, but {counted(len(written.places), 'place')}."
        findings.error("places", path, what, "Name one place for each copy.")
    if written.pair and written.count % 2:
        what = f"Part {written.id} is made in mirrored pairs, but its count is {written.count}."
        findings.error("odd-pair", path, what, "Make it an even count, or take out pair.")
    for mate in written.mates:
        if mate.n is not None and mate.n > written.count:
            what = f"Part {written.id} has {copies_of(written)}, but mates names copy {mate.n}."
            findings.error("no-copy", (*path, "mates"), what, "Correct n, or the count.")


def copies_of(written: PartText) -> str:
    """How many copies a part has in a piece, in words."""
    return counted(written.count, "copy", "copies")


def sizes_of(written: PartText, scope: FormulaScope, path: Path, findings: FindingList) -> list[CheckedFormula]:
    """A part's sizes. Solid wood and sheet goods need three; fewer give a finding."""
    if written.material != "other" and len(written.size) < len(MEASURES):
        what = f"Part {written.id} is {written.material} and has {counted(len(written.size), 'size')}, not 3."
        findings.error("missing-size", (*path, "size"), what, "Write length along the grain, width and thickness.")
    return positive_lengths(written.size, scope, (*path, "size"), f"Part {written.id}", findings)


def title_of(written: PartText) -> str:
    """A part's title without the number of a copy."""
    return written.title or written.id.replace("-", " ").capitalize()


def part_of(written: PartText, piece: str, n: int, formulas: list[CheckedFormula]) -> Part:
    """Copy n of a part, counted from 1, without its mates."""
    several = written.count > 1
    name = copy_names(written)[n - 1]
    title = title_of(written)
    hand = ("left" if n % 2 else "right") if written.pair else ""
    return Part(
        id=in_piece(piece, name),
        piece=piece,
        name=name,
        title=f"{title} {n}" if several else title,
        stock=written.stock,
        material=written.material,
        size=tuple(formula.compiled.postfix for formula in formulas),
        plan_mm=tuple(formula.plan for formula in formulas),
        grain=written.grain,
        place=written.places[n - 1] if n <= len(written.places) else written.place,
        mark=", ".join(text for text in (hand, written.mark) if text),
    )


def is_cut_by_machine(part: Part) -> bool:
    """Whether a part can be too small for a machine: veneer is cut with a knife, or in a stack between boards."""
    return part.material != "veneer" and len(part.plan_mm) == 3

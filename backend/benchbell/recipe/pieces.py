"""From one piece as written to the parts of all pieces: ids, copies, places, mates."""

from string import ascii_uppercase

from msgspec import Struct
from msgspec.structs import replace

from benchbell.recipe.lines import Path
from benchbell.recipe.measure import LENGTH
from benchbell.recipe.named import Names, figure_of
from benchbell.recipe.notes import Notes
from benchbell.recipe.sheet import Mate, Part
from benchbell.recipe.written import PartText, Recipe

MOST_PIECES = len(ascii_uppercase)


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


def all_parts(recipe: Recipe, pieces: tuple[str, ...], names: Names, notes: Notes) -> tuple[list[Part], Copies]:
    """Every part of every piece, and how recipes name them."""
    copies = Copies({}, {})
    parts: list[Part] = []
    for number, written in enumerate(recipe.part):
        path = ("part", number)
        if copies.known(written.id):
            notes.error("twice", path, f"Part {written.id} is there twice.", "Give each its own id.")
            continue
        check_places(written, path, notes)
        size, plan = sizes_of(written, names, path, notes)
        for piece in ("",) if written.once else pieces:
            made = [part_of(written, piece, n, size, plan) for n in range(1, written.count + 1)]
            parts += made
            copies.written |= {part.id: (number, n) for n, part in enumerate(made, 1)}
            name_copies(copies, written.id, piece, tuple(part.id for part in made))
    return parts, copies


def name_copies(copies: Copies, name: str, piece: str, ids: tuple[str, ...]) -> None:
    """Let the name stand for all copies, and name-1, name-2 … for each when there are several."""
    copies.by_name.setdefault(name, {})[piece] = ids
    if len(ids) > 1:
        for n, id in enumerate(ids, 1):
            copies.by_name.setdefault(f"{name}-{n}", {})[piece] = (id,)


def check_places(written: PartText, path: Path, notes: Notes) -> None:
    """A finding when there are not as many places as copies."""
    if written.places and len(written.places) != written.count:
        notes.error(
            "places",
            path,
            f"Part {written.id} has {written.count} copies and {len(written.places)} places.",
            "Name one place for each copy.",
        )


def sizes_of(
    written: PartText, names: Names, path: Path, notes: Notes
) -> tuple[tuple[tuple[float | str, ...], ...], tuple[float, ...]]:
    """A part's measures as formulas and as planned."""
    found = [figure_of(text, names, (*path, "size"), f"Part {written.id}", notes, LENGTH) for text in written.size]
    sound = [figure for figure in found if figure]
    for figure in sound:
        if figure.plan <= 0:
            notes.error(
                "no-size",
                (*path, "size"),
                f"Part {written.id} would be {figure.plan:g} mm.",
                "A part has more than nothing each way: correct the size.",
            )
    return tuple(figure.compiled.postfix for figure in sound), tuple(figure.plan for figure in sound)


def part_of(
    written: PartText, piece: str, n: int, size: tuple[tuple[float | str, ...], ...], plan: tuple[float, ...]
) -> Part:
    """One copy of a part, from 1, without its mates."""
    several = written.count > 1
    name = f"{written.id}-{n}" if several else written.id
    title = written.title or written.id.replace("-", " ").capitalize()
    hand = ("left" if n % 2 else "right") if written.pair else ""
    return Part(
        id=in_piece(piece, name),
        piece=piece,
        name=name,
        title=f"{title} {n}" if several else title,
        stock=written.stock,
        material=written.material,
        size=size,
        plan_mm=plan,
        grain=written.grain,
        place=written.places[n - 1] if n <= len(written.places) else written.place,
        mark=", ".join(text for text in (hand, written.mark) if text),
    )


def with_mates(part: Part, recipe: Recipe, copies: Copies, notes: Notes) -> Part:
    """The part with the ids of what it meets, once all assemblies have their names."""
    number, copy = copies.written[part.id]
    mates: list[Mate] = []
    for mate in recipe.part[number].mates:
        if mate.n not in (None, copy):
            continue
        met = copies.ids(mate.to, part.piece)
        if not met:
            what = f"Part {recipe.part[number].id} meets “{mate.to}”, which is no part here."
            notes.error("unknown-name", ("part", number, "mates"), what, known_names(copies))
        mates += [Mate(mate.end, one, mate.at) for one in met]
    return replace(part, mates=tuple(mates))


def known_names(copies: Copies) -> str:
    """A next step that tells which names there are."""
    return f"Use one of: {', '.join(sorted(copies.by_name)[:12]) or 'none yet'}."

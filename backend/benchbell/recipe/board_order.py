"""Parts that come from one board: in which order, how large the board is, and which operation cuts it apart."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import dropwhile, islice
from typing import TypeVar

from msgspec.structs import replace

from benchbell.recipe.cutting_list import sawn_mm, thickness_as_bought
from benchbell.recipe.holds import is_machine, planes_surface
from benchbell.recipe.pieces import PartIndex, in_piece
from benchbell.recipe.sheet import Board, Operation, Part
from benchbell.recipe.stock import CutListRow
from benchbell.recipe.to_size import ROUGH_AT
from benchbell.recipe.written import Recipe
from benchbell.trade.timber import RESAWN_LOSS_MM

KERF_MM = 4
"""Between two parts cut from one board. Common practice, no source: a blade takes 3 mm, a shaky line the rest."""

LONG_RUN = 3
"""So many copies in a row are told as one run."""

LEAVES = 2
"""Leaves that are opened like a book."""


One = TypeVar("One")


def in_pairs(ones: Sequence[One]) -> list[Sequence[One]]:
    """Two by two, in order; the last alone where their count is odd."""
    return [ones[n : n + LEAVES] for n in range(0, len(ones), LEAVES)]


def boards_of(recipe: Recipe, parts: Sequence[Part], index: PartIndex, rows: Sequence[CutListRow]) -> tuple[Board, ...]:
    """The boards of all pieces, each with its parts in the file's order. rows: the cutting list."""
    by_board: dict[tuple[str, str], list[Part]] = {}
    for part in parts:
        if name := recipe.part[index.row_and_copy[part.id][0]].board:
            by_board.setdefault((part.piece, name), []).append(part)
    row_of = {id: row for row in rows for id in row.of}
    return tuple(board_of(name, own, recipe, index, row_of) for (_, name), own in by_board.items())


def board_of(
    name: str, parts: Sequence[Part], recipe: Recipe, index: PartIndex, row_of: Mapping[str, CutListRow]
) -> Board:
    """One board of these parts. row_of: the cutting list's row of each part, by id."""
    first = parts[0]
    written = [recipe.part[index.row_and_copy[part.id][0]] for part in parts]
    match = next((one.match for one in written if one.match), "sequence")
    rows = [row_of[part.id] for part in parts]
    size = book_mm(rows) if match == "book" else sequence_mm(rows)
    return Board(
        id=in_piece(first.piece, name),
        piece=first.piece,
        name=name,
        title=name.replace("-", " ").capitalize(),
        match="book" if match == "book" else "sequence",
        of=tuple(part.id for part in parts),
        stock=first.stock,
        material=first.material,
        rough_mm=tuple(sawn_mm(mm, recipe.units) for mm in size[:2]) + size[2:],
    )


def sequence_mm(rows: Sequence[CutListRow]) -> tuple[float, ...]:
    """Length, width and thickness of a board from which parts are cut one after the other, saw cuts between them."""
    return (in_a_row([row.rough_mm[0] for row in rows]), *across(rows), *(row.bought_mm for row in rows[:1]))


def book_mm(rows: Sequence[CutListRow]) -> tuple[float, ...]:
    """Length, width and thickness of what is opened like a book: solid wood is resawn, two leaves from each length.

    Other stock has its leaves already: they are as large as the largest of them.
    """
    if rows[0].material != "solid":
        return (max(row.rough_mm[0] for row in rows), *across(rows), *(row.bought_mm for row in rows[:1]))
    lengths = [max(row.rough_mm[0] for row in pair) for pair in in_pairs(rows)]
    thick = LEAVES * rows[0].finished_mm[-1] + RESAWN_LOSS_MM
    bought = thickness_as_bought(thick)
    return (in_a_row(lengths), *across(rows), bought.mm if bought else thick)


def in_a_row(lengths: Sequence[float]) -> float:
    """The length of a board from which these are cut."""
    return sum(lengths) + KERF_MM * (len(lengths) - 1)


def across(rows: Sequence[CutListRow]) -> tuple[float, ...]:
    """The width that the widest of them needs; empty where no width is written."""
    wide = [row.rough_mm[1] for row in rows if len(row.rough_mm) > 1]
    return (max(wide),) if wide else ()


def with_first_cuts(
    boards: Sequence[Board], operations: Sequence[Operation], in_lengths: Collection[str], parts: Sequence[Part]
) -> tuple[Board, ...]:
    """The boards with the operation before which the order is marked on each. operations: in order.

    in_lengths: ids of those that work parts in longer lengths, before they are cut apart.
    """
    names = {part.id: part.name for part in parts}
    return tuple(replace(board, by=marked_at(board, operations, in_lengths, names)) for board in boards)


def marked_at(
    board: Board, operations: Sequence[Operation], in_lengths: Collection[str], names: Mapping[str, str]
) -> str:
    """The id of the operation that makes the order unknown.

    Leaves lose it where they are resawn, parts in sequence where they are cut apart to length: what resaws, rips or
    planes the board before that would only take the chalk off. Where none is known to cut them apart, it is the first
    that cuts them, or else the first on them; "" when none works on them. names: of parts in the recipe, by id.
    """
    own = {names[id] for id in board.of}
    working = [op for op in operations if not set(board.of).isdisjoint(op.parts)]
    cutting = [op for op in working if op.station in ROUGH_AT or any(one.stage != "told" for one in op.to_size)]
    apart = [op for op in cutting if op.id not in in_lengths and cuts_length(op, own)]
    first = (*cutting, *working) if board.match == "book" else (*apart, *cutting, *working)
    return next((op.id for op in first), "")


def cuts_length(op: Operation, names: Collection[str]) -> bool:
    """Whether an operation cuts parts of these names to length, rough or finished, or may do so and does not say."""
    made = [one for one in op.to_size if one.stage != "told" and one.part in names]
    return any("length" in one.measures for one in made) or (not made and "length" in ROUGH_AT.get(op.station, ()))


def with_marking(operations: Sequence[Operation], boards: Sequence[Board], parts: Sequence[Part]) -> list[Operation]:
    """The operations, with the order to be marked on the board as the first thing of the one that cuts it apart."""
    titles = {part.id: part.title for part in parts}
    steps: dict[str, dict[str, None]] = {}
    for board in boards:
        steps.setdefault(board.by, {})[marking(board, titles, is_planed_after(board, operations))] = None
    return [replace(op, do=(*steps[op.id], *op.do)) if op.id in steps else op for op in operations]


def is_planed_after(board: Board, operations: Sequence[Operation]) -> bool:
    """Whether a machine takes the faces of its parts down after they were cut apart, and chalk with them."""
    later = dropwhile(lambda op: op.id != board.by, operations)
    return any(
        is_machine(op.station) and planes_surface(op.station) and not set(board.of).isdisjoint(op.parts)
        for op in islice(later, 1, None)
    )


def marking(board: Board, titles: Mapping[str, str], is_planed: bool) -> str:
    """The step that marks the order, before the saw makes it unknown. titles: of parts, by id.

    is_planed: their faces are planed after that.
    """
    name = board.title.lower()
    if board.match == "sequence":
        order = ", ".join(runs([titles[id] for id in board.of]))
        mark = "Chalk a triangle across them all."
        stays = " Planing takes it off the faces: number each part on an end too, as it comes off the saw."
        what = f"Before the saw, mark the order on the board for the {name}: {order}. {mark}"
        return f"{what}{stays}" if is_planed else what
    pairs = "; ".join(" with ".join(titles[id] for id in pair) for pair in in_pairs(board.of))
    before = "Before it is resawn" if board.material == "solid" else "As the leaves come off the stack"
    return (
        f"{before}, number the leaves of the {name} at one end and chalk a triangle across that end: {pairs}. "
        "Open each pair like a book."
    )


def runs(titles: Iterable[str]) -> list[str]:
    """Titles with long runs of copies put together: Leg 1, Leg 2, Leg 3 become Leg 1 to 3."""
    found: list[list[str]] = []
    for title in titles:
        stem, _, number = title.rpartition(" ")
        if found and number.isdigit() and found[-1][-1] == f"{stem} {int(number) - 1}":
            found[-1].append(title)
        else:
            found.append([title])
    return [
        text
        for run in found
        for text in (run if len(run) < LONG_RUN else [f"{run[0]} to {run[-1].rpartition(' ')[2]}"])
    ]


def places_on_boards(boards: Sequence[Board]) -> dict[str, str]:
    """By part's id, its place on its board: "2 of 4 from the side run"."""
    return {
        id: f"{n} of {len(board.of)} from the {board.title.lower()}"
        for board in boards
        for n, id in enumerate(board.of, 1)
    }

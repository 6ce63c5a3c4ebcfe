"""Rules for parts that come from one board: they can, the board is long enough to be had, and leaves go in pairs."""

from collections.abc import Iterable, Sequence

from benchbell.findings import counted
from benchbell.recipe.board_order import LEAVES, in_pairs
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.measure import LENGTH, show
from benchbell.recipe.pieces import PartIndex
from benchbell.recipe.rule_context import RuleContext
from benchbell.recipe.sheet import Board, Part
from benchbell.recipe.written import PartText, Recipe

LONGEST_MM = {"solid": 5000, "sheet": 3050}
"""By material, the longest board or sheet that is usually sold. Common practice, no source: 16 ft, 10 ft."""

SAME_MM = 0.01
"""Sizes that differ by no more are the same."""


def check_boards(
    recipe: Recipe, boards: Sequence[Board], parts: Sequence[Part], index: PartIndex, findings: FindingList
) -> None:
    """Add an error for a match without a board, and for parts that cannot come from one board."""
    for row, written in enumerate(recipe.part):
        if written.match and not written.board:
            what = f"Part {written.id} has match, but no board."
            findings.error("one-board", ("part", row, "match"), what, 'Add board = "…": all with that name are one.')
    by_id = {part.id: part for part in parts}
    pieces = {board.name: {one.piece == "" for one in boards if one.name == board.name} for board in boards}
    for board in first_of_each(boards):
        own = [by_id[id] for id in board.of]
        rows = [index.row_and_copy[id][0] for id in board.of]
        for what, next_step in (
            *mixed(board, [recipe.part[row] for row in rows], len(pieces[board.name]) > 1),
            *unequal(board, own),
            *(unpaired(board, own) if board.match == "book" else ()),
        ):
            findings.error("one-board", ("part", rows[0], "board"), f"Board {board.name} {what}", next_step)


def first_of_each(boards: Sequence[Board]) -> Iterable[Board]:
    """Of the boards of one name in several pieces the first."""
    return {board.name: board for board in reversed(boards)}.values()


def mixed(board: Board, written: Sequence[PartText], is_shared: bool) -> Iterable[tuple[str, str]]:
    """What parts say that does not go together: of each, the rest of a sentence and the next step.

    is_shared: whether some are there once for all pieces, and others in each.
    """
    if is_shared:
        yield "has parts of each piece, and parts for all pieces.", "Give once = true to all of its parts, or to none."
    if len({one.match for one in written if one.match}) > 1:
        yield "is to be cut both in sequence and like a book.", "Give its parts one match."


def unequal(board: Board, parts: Sequence[Part]) -> Iterable[tuple[str, str]]:
    """Of what its parts differ."""
    first, next_step = parts[0], "Give them boards of their own."
    for other in parts[1:]:
        if (other.stock, other.material) != (first.stock, first.material):
            yield f"has {first.name} of {first.stock} and {other.name} of {other.stock}.", next_step
            return
        if not is_same(first.plan_mm[2:], other.plan_mm[2:]):
            yield f"has {first.name} and {other.name}, which are not equally thick.", next_step
            return


def unpaired(board: Board, parts: Sequence[Part]) -> Iterable[tuple[str, str]]:
    """What is in the way of opening its leaves like a book."""
    if board.material == "sheet":
        yield (
            "is to be opened like a book, and sheet goods are not resawn.",
            'Write match = "sequence", or name veneer.',
        )
        return
    if len(parts) % LEAVES:
        yield (
            f"is to be opened like a book, and has {counted(len(parts), 'leaf', 'leaves')}.",
            'Make it an even count, or write match = "sequence".',
        )
        return
    for one, other in in_pairs(parts):
        if not is_same(one.plan_mm, other.plan_mm):
            yield f"opens {one.name} with {other.name}, which is of another size.", "Make the pair equal."
            return


def is_same(ones: Sequence[float], others: Sequence[float]) -> bool:
    """Whether sizes are equal, one by one."""
    return all(abs(a - b) <= SAME_MM for a, b in zip(ones, others, strict=False))


def boards_long_enough(context: RuleContext) -> None:
    """Rule: no board is longer than boards usually are."""
    rows = {part.id: row for row, part in enumerate(context.recipe.part)}
    units = context.sheet.units
    for board in first_of_each(context.sheet.boards):
        longest = LONGEST_MM.get(board.material)
        if longest is not None and board.rough_mm[0] > longest:
            row = min(rows[one.id] for one in context.recipe.part if one.board == board.name)
            length, most = show(board.rough_mm[0], LENGTH, units), show(longest, LENGTH, units)
            what = f"Board {board.name} would be {length} long; longer than {most} is hard to find."
            next_step = "Give some of its parts another board."
            context.findings.warn("board-too-long", ("part", row, "board"), what, next_step)

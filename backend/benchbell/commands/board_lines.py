"""A sheet's boards from which several parts are cut, as text: each with its rough size and its parts in order."""

from collections.abc import Iterable, Mapping

from benchbell.commands.cutting_list import sizes_text
from benchbell.recipe.board_order import runs
from benchbell.recipe.sheet import Board, Sheet


def board_lines(sheet: Sheet) -> Iterable[str]:
    """A line or two for each board, those of several pieces that are alike together; nothing without any."""
    titles = {part.id: part.title for part in sheet.parts}
    alike: dict[tuple[str, ...], list[Board]] = {}
    for board in sheet.boards:
        alike.setdefault((board.name, sizes_text(board.rough_mm, sheet.units)), []).append(board)
    if alike:
        yield "Of these, from one board each, in this order. Rough is the length × width × thickness of the board."
    for (_, rough), boards in alike.items():
        first = boards[0]
        yield f"  {len(boards):3} × {first.title}: {first.stock}, rough {rough}"
        yield f"        {order_text(first, titles)}"


def order_text(board: Board, titles: Mapping[str, str]) -> str:
    """Its parts in order: "Side 1 to 2, End 1"; of a book "Leaf 1 to 2, opened like a book"."""
    order = ", ".join(runs([titles[id] for id in board.of]))
    return f"{order}; opened like a book in pairs" if board.match == "book" else order

"""Where labels go on paper: pages with rows and columns, or a roll. All lengths in mm."""

from collections.abc import Iterator

import msgspec
from msgspec import Struct

from benchbell.findings import Refused
from benchbell.trade.lengths import in_both

PAPERS: dict[str, tuple[float, float]] = {
    # ISO 216 for A4 and A5; ANSI/ASME Y14.1 size A for Letter: 8 1/2 × 11 in.
    "A4": (210.0, 297.0),
    "A5": (148.0, 210.0),
    "Letter": (215.9, 279.4),
}

MOST = 100
"""The most rows, and the most columns, of a page."""

MARGIN_MM = 8.0
"""Default margin: most printers cannot print on the outermost 4 to 6 mm (common practice, no source)."""

LEAST_LABEL_MM = (25.0, 15.0)
"""Least width and height of a label: a code alone in modules that a phone can read, and a few words."""


class Box(Struct, frozen=True):
    """A rectangle. x, y: its top left corner, from the page's or label's top left corner."""

    x: float
    y: float
    width: float
    height: float


class Margins(Struct, frozen=True):
    """White space. left, top: around the labels, the same on the opposite sides; across, down: between labels."""

    left: float = MARGIN_MM
    top: float = MARGIN_MM
    across: float = 0.0
    down: float = 0.0


class Layout(Struct, frozen=True):
    """How a page is divided. paper, label: width and height.

    first: the first free label on the first page, counted from 1 along the rows.
    """

    paper: tuple[float, float]
    rows: int
    columns: int
    label: tuple[float, float]
    margins: Margins
    first: int = 1


def by_count(paper: tuple[float, float], rows: int, columns: int, margins: Margins, first: int = 1) -> Layout:
    """A page of so many rows and columns; the labels fill it between margins and gaps.

    Raises Refused when there are too many or too few rows or columns, the labels become too small, or `first` is not
    on the page.
    """
    if not (1 <= rows <= MOST and 1 <= columns <= MOST):
        raise Refused(f"A page of {rows} × {columns} labels cannot be divided.", f"Give 1 to {MOST} rows and columns.")
    width = (paper[0] - 2 * margins.left - (columns - 1) * margins.across) / columns
    height = (paper[1] - 2 * margins.top - (rows - 1) * margins.down) / rows
    return checked_layout(paper, rows, columns, (width, height), margins, first)


def by_size(paper: tuple[float, float], label: tuple[float, float], margins: Margins, first: int = 1) -> Layout:
    """A page with as many labels of that width and height as fit.

    Raises Refused when none fits, they are too small, or `first` is not on the page.
    """
    columns = how_many(paper[0], label[0], margins.left, margins.across)
    rows = how_many(paper[1], label[1], margins.top, margins.down)
    if columns < 1 or rows < 1:
        raise Refused(
            f"A label of {in_both(*label)} does not fit paper of {in_both(*paper)} "
            f"with margins of {in_both(margins.left)} and {in_both(margins.top)}.",
            "Give smaller labels, smaller margins or larger paper.",
        )
    return checked_layout(paper, rows, columns, label, margins, first)


def roll(width: float, label_height: float) -> Layout:
    """A roll of that width: each label is its own page, as wide as the roll. Raises Refused when it is too small."""
    return checked_layout((width, label_height), 1, 1, (width, label_height), Margins(0.0, 0.0), 1)


def how_many(paper: float, label: float, margin: float, gap: float) -> int:
    """How many labels fit in one direction. 1 µm too much is allowed, since inches are inexact in decimals."""
    return int((paper - 2 * margin + gap + 0.001) // (label + gap)) if label > 0 else 0


def checked_layout(
    paper: tuple[float, float], rows: int, columns: int, label: tuple[float, float], margins: Margins, first: int
) -> Layout:
    """The layout. Raises Refused when the labels are too small, a margin is negative, or `first` is not on the page."""
    if label[0] < LEAST_LABEL_MM[0] or label[1] < LEAST_LABEL_MM[1] or min(msgspec.structs.astuple(margins)) < 0:
        raise Refused(
            f"Labels of {in_both(*label)} are too small to read: "
            f"the least is {in_both(*LEAST_LABEL_MM)}, with margins of 0 or more.",
            "Give fewer rows and columns, or larger labels.",
        )
    if not 1 <= first <= rows * columns:
        raise Refused(
            f"The first free label is number {first}, but a page has {rows * columns}.",
            f"Give a number from 1 to {rows * columns}, counted along the rows.",
        )
    return Layout(paper, rows, columns, label, margins, first)


def places(layout: Layout, count: int) -> Iterator[tuple[int, Box]]:
    """The page, from 0, and the box of each of `count` labels; labels before `first` are skipped."""
    per_page = layout.rows * layout.columns
    for number in range(layout.first - 1, layout.first - 1 + count):
        page, on_page = divmod(number, per_page)
        row, column = divmod(on_page, layout.columns)
        x = layout.margins.left + column * (layout.label[0] + layout.margins.across)
        y = layout.margins.top + row * (layout.label[1] + layout.margins.down)
        yield page, Box(x, y, *layout.label)

"""Where labels go on paper: sheets of rows and columns, or a roll. All sizes in mm."""

from collections.abc import Iterator

import msgspec
from msgspec import Struct

from benchbell.findings import Refused

PAPERS: dict[str, tuple[float, float]] = {
    # ISO 216 for A4 and A5; ANSI/ASME Y14.1 size A for Letter: 8 1/2 × 11 in.
    "A4": (210.0, 297.0),
    "A5": (148.0, 210.0),
    "Letter": (215.9, 279.4),
}

MOST = 100
"""Rows or columns of a sheet."""

MARGIN_MM = 8.0
"""Most printers leave the outermost 4 to 6 mm white (common practice, no source)."""

LEAST_LABEL_MM = (25.0, 15.0)
"""Width and height that hold a code alone in modules a phone reads, and a few words."""


class Box(Struct, frozen=True):
    """A rectangle on a page, from its top left corner."""

    x: float
    y: float
    width: float
    height: float


class Margins(Struct, frozen=True):
    """The white around the labels, the same on opposite sides, and between them."""

    left: float = MARGIN_MM
    top: float = MARGIN_MM
    across: float = 0.0
    down: float = 0.0


class Layout(Struct, frozen=True):
    """How one page is divided. paper, label: width and height.

    first: the first free label on the first page, counted from 1 along the rows.
    """

    paper: tuple[float, float]
    rows: int
    columns: int
    label: tuple[float, float]
    margins: Margins
    first: int = 1


def by_count(paper: tuple[float, float], rows: int, columns: int, margins: Margins, first: int = 1) -> Layout:
    """A sheet of so many rows and columns: the labels share what the margins and gaps leave."""
    if not (1 <= rows <= MOST and 1 <= columns <= MOST):
        raise Refused(f"A sheet of {rows} × {columns} labels cannot be cut.", f"Give 1 to {MOST} rows and columns.")
    width = (paper[0] - 2 * margins.left - (columns - 1) * margins.across) / columns
    height = (paper[1] - 2 * margins.top - (rows - 1) * margins.down) / rows
    return checked(paper, rows, columns, (width, height), margins, first)


def by_size(paper: tuple[float, float], label: tuple[float, float], margins: Margins, first: int = 1) -> Layout:
    """A sheet of labels of that width and height: as many as fit."""
    columns = how_many(paper[0], label[0], margins.left, margins.across)
    rows = how_many(paper[1], label[1], margins.top, margins.down)
    if columns < 1 or rows < 1:
        raise Refused(
            f"A label of {label[0]:g} × {label[1]:g} mm does not fit paper of {paper[0]:g} × {paper[1]:g} mm "
            f"with margins of {margins.left:g} and {margins.top:g} mm.",
            "Give smaller labels, smaller margins or larger paper.",
        )
    return checked(paper, rows, columns, label, margins, first)


def roll(width: float, label_height: float) -> Layout:
    """A roll of that width: each label is a page of its own, as wide as the roll."""
    return checked((width, label_height), 1, 1, (width, label_height), Margins(0.0, 0.0), 1)


def how_many(paper: float, label: float, margin: float, gap: float) -> int:
    """How many labels fit one way. A hair of a millimetre is forgiven: inches do not add up in decimals."""
    return int((paper - 2 * margin + gap + 0.001) // (label + gap)) if label > 0 else 0


def checked(
    paper: tuple[float, float], rows: int, columns: int, label: tuple[float, float], margins: Margins, first: int
) -> Layout:
    """The layout, if labels of that size can be read and it begins on the sheet. Raises Refused."""
    if label[0] < LEAST_LABEL_MM[0] or label[1] < LEAST_LABEL_MM[1] or min(msgspec.structs.astuple(margins)) < 0:
        raise Refused(
            f"Labels of {label[0]:.1f} × {label[1]:.1f} mm are too small to read: "
            f"{LEAST_LABEL_MM[0]:g} × {LEAST_LABEL_MM[1]:g} mm is the least, with margins of 0 mm or more.",
            "Give fewer rows and columns, or larger labels.",
        )
    if not 1 <= first <= rows * columns:
        raise Refused(
            f"The first free label is number {first}, and a sheet has {rows * columns}.",
            f"Give a number from 1 to {rows * columns}, counted along the rows.",
        )
    return Layout(paper, rows, columns, label, margins, first)


def places(layout: Layout, count: int) -> Iterator[tuple[int, Box]]:
    """The page, from 0, and the box of each of so many labels; used ones on the first page are left out."""
    a_page = layout.rows * layout.columns
    for number in range(layout.first - 1, layout.first - 1 + count):
        page, on_page = divmod(number, a_page)
        row, column = divmod(on_page, layout.columns)
        x = layout.margins.left + column * (layout.label[0] + layout.margins.across)
        y = layout.margins.top + row * (layout.label[1] + layout.margins.down)
        yield page, Box(x, y, *layout.label)

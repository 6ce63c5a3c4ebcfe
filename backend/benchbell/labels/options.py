"""The options for printing labels: as text from a maker, and the layout in mm they give."""

import re
from collections.abc import Iterable, Sequence
from difflib import get_close_matches

from msgspec import Struct

from benchbell.findings import Refused, counted
from benchbell.labels.label import KINDS, Label, LabelKind
from benchbell.labels.paper import MARGIN_MM, PAPERS, Layout, Margins, by_count, by_size, roll
from benchbell.recipe.label_code import NotALabelCode, read_code
from benchbell.recipe.measure import LENGTH, NotAMeasure, read

ROWS, COLUMNS = 7, 3
"""Default rows and columns of a page."""

ROLL_SHARE = 0.6
"""Default height of a label on a roll, as a share of its width: 3 to 5, like a card."""

MOST_COPIES = 50
MOST_LABELS = 5000


class PrintOptions(Struct, frozen=True):
    """Options for printing labels, as text.

    paper: a name in PAPERS, `100 mm x 150 mm`, or `roll 62 mm`. rows, columns: of a page; or instead
    size: width and height of a label, on a roll only its height. margins: left and top; gaps: across and down;
    one length stands for both. first: the first free label of a used page, from 1. copies: of each label.
    """

    paper: str = "A4"
    rows: int | None = None
    columns: int | None = None
    size: str = ""
    margins: str = f"{MARGIN_MM:g} mm"
    gaps: str = "0 mm"
    first: int = 1
    copies: int = 1


def layout_of(options: PrintOptions) -> Layout:
    """The layout in mm. Raises Refused when an option cannot be read, or the labels do not fit or are too small."""
    if options.paper.lower().startswith("roll"):
        return roll_of(options)
    paper = paper_of(options.paper)
    left, top = pair(options.margins, "margins")
    margins = Margins(left, top, *pair(options.gaps, "gaps"))
    if not options.size:
        return by_count(paper, *rows_and_columns(options), margins, options.first)
    if options.rows is not None or options.columns is not None:
        raise Refused("Both a label's size and rows or columns are given.", "Give only one: the other follows from it.")
    return by_size(paper, pair(options.size, "size"), margins, options.first)


def rows_and_columns(options: PrintOptions) -> tuple[int, int]:
    """The rows and columns of a page, each with its default."""
    return (
        ROWS if options.rows is None else options.rows,
        COLUMNS if options.columns is None else options.columns,
    )


def roll_of(options: PrintOptions) -> Layout:
    """The layout of a roll. Raises Refused when a length cannot be read or the labels are too small."""
    width = length(options.paper[len("roll") :].strip(), "paper")
    return roll(width, length(options.size, "size") if options.size else ROLL_SHARE * width)


def paper_of(text: str) -> tuple[float, float]:
    """Width and height of a paper in mm, from its name or its two lengths. Raises Refused when it is neither."""
    by_name = {name.lower(): size for name, size in PAPERS.items()}
    if text.strip().lower() in by_name:
        return by_name[text.strip().lower()]
    try:
        return pair(text, "paper")
    except Refused as error:
        raise Refused(
            f"“{text}” is not a known paper.", f"Give {', '.join(PAPERS)}, 100 mm x 150 mm, or roll 62 mm."
        ) from error


def pair(text: str, what: str) -> tuple[float, float]:
    """Two lengths in mm from `63.5 mm x 38 mm`; one length stands for both. what: the option's name.

    Raises Refused when the text is not one or two lengths.
    """
    first, *others = re.split(r"\s*[x×]\s*", text.strip())
    if len(others) > 1:
        raise Refused(f"“{text}” as {what} has more than two lengths.", "Write it as 63.5 mm x 38 mm.")
    return length(first, what), length(others[0] if others else first, what)


def length(text: str, what: str) -> float:
    """A length in mm. what: the option's name. Raises Refused when the text is not a length."""
    try:
        quantity = read(text)
    except NotAMeasure as error:
        raise Refused(f"“{text}” as {what} cannot be read: {error.what}", "Write it as 62 mm or 2 1/4 in.") from error
    if quantity.dim != LENGTH:
        raise Refused(f"“{text}” as {what} is not a length.", "Write it with its unit, as 62 mm or 2 1/4 in.")
    return quantity.value


def copies_of(options: PrintOptions, labels: int) -> int:
    """How many copies of each label. Raises Refused beyond MOST_COPIES, or MOST_LABELS in total."""
    if not 1 <= options.copies <= MOST_COPIES or options.copies * labels > MOST_LABELS:
        raise Refused(
            f"{counted(options.copies, 'copy', 'copies')} of {counted(labels, 'label')} cannot be printed: "
            f"the limits are 1 to {MOST_COPIES} copies and {MOST_LABELS} labels.",
            "Print fewer at a time.",
        )
    return options.copies


def chosen_labels(labels: Sequence[Label], kinds: Iterable[str] = (), only: Iterable[str] = ()) -> tuple[Label, ...]:
    """The labels of these kinds, or with these ids or codes; of parts, assemblies and fixtures when neither is given.

    Raises Refused when there is no such kind or label.
    """
    ids_or_codes, kinds = list(only), list(kinds)
    if ids_or_codes:
        return tuple(find(labels, text) for text in ids_or_codes)
    known = {kind_named(kind) for kind in kinds} or {"part", "assembly", "fixture"}
    return tuple(label for label in labels if label.kind in known)


def kind_named(text: str) -> LabelKind:
    """The kind of label of that name. Raises Refused when there is none."""
    kind = next((kind for kind in KINDS if kind == text.lower()), None)
    if kind is None:
        raise Refused(f"There is no kind of label “{text}”.", f"Give one of {', '.join(KINDS)}.")
    return kind


def find(labels: Sequence[Label], text: str) -> Label:
    """The label with that id or code. Raises Refused, with similar ids, when there is none."""
    try:
        code = read_code(text)
    except NotALabelCode:
        code = ""
    for label in labels:
        if text == label.id or (code and code == label.code):
            return label
    near = get_close_matches(text, [label.id for label in labels], n=3) or [label.id for label in labels[:3]]
    raise Refused(f"This build has no label “{text}”.", f"Give an id or a code, such as {', '.join(near)}.")

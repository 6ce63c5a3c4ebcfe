"""What a maker asks for when labels are to be printed, in the maker's words, and what it comes to in mm."""

import re
from collections.abc import Iterable, Sequence
from difflib import get_close_matches

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.labels.label import KINDS, Label, LabelKind
from benchbell.labels.paper import MARGIN_MM, PAPERS, Layout, Margins, by_count, by_size, roll
from benchbell.recipe.label_code import NotALabelCode, read_code
from benchbell.recipe.measure import LENGTH, NotAMeasure, read

ROWS, COLUMNS = 7, 3
"""Labels on a sheet when nothing else is said."""

ROLL_SHARE = 0.6
"""Height of a roll's label, of its width, when nothing else is said: three to five, like a card."""

MOST_COPIES = 50
MOST_LABELS = 5000


class Asked(Struct, frozen=True):
    """Paper and labels in words.

    paper: a name in PAPERS, `100 mm x 150 mm`, or `roll 62 mm`. rows, columns: of a sheet, or else
    size: width and height of a label; of a roll, its height alone. margins: left and top; gaps: across and down;
    one size stands for both. first: the first free label of a used sheet. copies: of each label.
    """

    paper: str = "A4"
    rows: int | None = None
    columns: int | None = None
    size: str = ""
    margins: str = f"{MARGIN_MM:g} mm"
    gaps: str = "0 mm"
    first: int = 1
    copies: int = 1


def layout_of(asked: Asked) -> Layout:
    """The layout that was asked for. Raises Refused."""
    if asked.paper.lower().startswith("roll"):
        return roll_of(asked)
    paper = paper_of(asked.paper)
    left, top = pair(asked.margins, "margins")
    margins = Margins(left, top, *pair(asked.gaps, "gaps"))
    if not asked.size:
        return by_count(paper, said(asked.rows, ROWS), said(asked.columns, COLUMNS), margins, asked.first)
    if asked.rows is not None or asked.columns is not None:
        raise Refused("Both a label's size and rows or columns are given.", "Give one of them: the other follows.")
    return by_size(paper, pair(asked.size, "size"), margins, asked.first)


def said(count: int | None, usual: int) -> int:
    """What was said, or what is usual."""
    return usual if count is None else count


def roll_of(asked: Asked) -> Layout:
    """A roll's layout."""
    width = length(asked.paper[len("roll") :].strip(), "paper")
    return roll(width, length(asked.size, "size") if asked.size else ROLL_SHARE * width)


def paper_of(text: str) -> tuple[float, float]:
    """Width and height of a paper by its name or its two sizes."""
    by_name = {name.lower(): size for name, size in PAPERS.items()}
    if text.strip().lower() in by_name:
        return by_name[text.strip().lower()]
    try:
        return pair(text, "paper")
    except Refused as error:
        raise Refused(
            f"“{text}” is no paper known here.", f"Give {', '.join(PAPERS)}, 100 mm x 150 mm, or roll 62 mm."
        ) from error


def pair(text: str, what: str) -> tuple[float, float]:
    """Two lengths in mm, `63.5 mm x 38 mm`; one stands for both."""
    first, *others = re.split(r"\s*[x×]\s*", text.strip())
    if len(others) > 1:
        raise Refused(f"“{text}” as {what} is more than two sizes.", "Write it as 63.5 mm x 38 mm.")
    return length(first, what), length(others[0] if others else first, what)


def length(text: str, what: str) -> float:
    """A length in mm."""
    try:
        quantity = read(text)
    except NotAMeasure as error:
        raise Refused(f"“{text}” as {what} cannot be read: {error.what}", "Write it as 62 mm or 2 1/4 in.") from error
    if quantity.dim != LENGTH:
        raise Refused(f"“{text}” as {what} is no length.", "Write it with its unit, as 62 mm or 2 1/4 in.")
    return quantity.value


def copies_of(asked: Asked, labels: int) -> int:
    """How many of each. Raises Refused beyond what anybody prints."""
    if not 1 <= asked.copies <= MOST_COPIES or asked.copies * labels > MOST_LABELS:
        raise Refused(
            f"{asked.copies} copies of {labels} labels cannot be printed: "
            f"1 to {MOST_COPIES} copies and {MOST_LABELS} labels are the most.",
            "Print fewer at a time.",
        )
    return asked.copies


def chosen(labels: Sequence[Label], kinds: Iterable[str] = (), only: Iterable[str] = ()) -> tuple[Label, ...]:
    """The labels of these kinds, or those with these ids or codes; parts and assemblies when neither is said."""
    wanted, kinds = list(only), list(kinds)
    if wanted:
        return tuple(find(labels, text) for text in wanted)
    known = {kind_named(kind) for kind in kinds} or {"part", "assembly"}
    return tuple(label for label in labels if label.kind in known)


def kind_named(text: str) -> LabelKind:
    """A kind of label by its name. Raises Refused."""
    kind = next((kind for kind in KINDS if kind == text.lower()), None)
    if kind is None:
        raise Refused(f"There is no kind of label “{text}”.", f"Give one of {', '.join(KINDS)}.")
    return kind


def find(labels: Sequence[Label], text: str) -> Label:
    """The label with that id or code. Raises Refused with what comes near."""
    try:
        code = read_code(text)
    except NotALabelCode:
        code = ""
    for label in labels:
        if text == label.id or (code and code == label.code):
            return label
    near = get_close_matches(text, [label.id for label in labels], n=3) or [label.id for label in labels[:3]]
    raise Refused(f"This build has no label “{text}”.", f"Give an id or a code, such as {', '.join(near)}.")

"""The words that say where a part lies: read, and made into formulas. "on leg + 2 mm" is from leg.top + 2 mm."""

import re
from collections.abc import Iterable, Iterator
from contextlib import suppress
from itertools import pairwise

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.recipe.lies_text import LiesText
from benchbell.recipe.placing import Axis, How
from benchbell.recipe.tokens import tokens_of

HOWS: dict[How, str] = {
    "over": "xy", "clear": "xy", "centres": "xy", "row": "xy", "from": "xyz", "to": "xyz", "mid": "xyz"
}  # fmt: skip
"""By word, the axes it may be used on: nothing lies about a middle of the height, but a row may begin at one."""

STARTS = " from "
"""Between the gaps of a row and where it begins, as in "row 20 mm from 150 mm"."""

BESIDE: dict[str, tuple[Axis, How, str]] = {
    "on": ("z", "from", "top"),
    "under": ("z", "to", "bottom"),
    "behind": ("y", "from", "back"),
    "before": ("y", "to", "front"),
    "right of": ("x", "from", "right"),
    "left of": ("x", "to", "left"),
}
"""By words, their axis, and what they stand for with the face of the part that follows them."""

_word = re.compile(r"(?:right of|left of|[a-z]+)(?=\s)")
_name = re.compile(r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*(?=\s|$)")


class WhereText(Struct, frozen=True):
    """One place on an axis. on: the part that it lies on, or "" for other words. start: where a row begins, or ""."""

    how: How
    formula: str
    on: str = ""
    start: str = ""


def where_text(text: str, axis: Axis) -> WhereText:
    """A place as written. Raises Refused when its words have no meaning on this axis."""
    found = _word.match(text)
    word, rest = (found[0], text[found.end() :].strip()) if found else ("", "")
    if word == "row" and STARTS in rest:
        gap, _, start = rest.partition(STARTS)
        return WhereText("row", gap, start=start)
    if word in HOWS and rest:
        if axis not in HOWS[word]:
            raise Refused(
                f"“{text}” has no meaning for {axis}.", "Write from, to, mid, on, under or row … from … for a height."
            )
        return WhereText(word, rest)
    if word not in BESIDE:
        raise Refused(f"“{text}” does not say where.", f"Begin with one of: {', '.join(words_for(axis))}.")
    own, how, face = BESIDE[word]
    if own != axis:
        raise Refused(f"“{text}” is about {own}, not {axis}.", f"Write it as {own}.")
    name = _name.match(rest)
    if name is None:
        raise Refused(f"“{text}” names no part.", f'Write it like "{word} leg" or "{word} leg + 2 mm".')
    return WhereText(how, f"{name[0]}.{face}{rest[name.end() :]}", name[0] if word == "on" else "")


def split_place(text: str) -> tuple[str, str, str]:
    """A place cut up: its word with the space behind it, the part that it names or "", and the formula."""
    found = _word.match(text)
    if found is None:
        return "", "", text
    word, rest = text[: found.end() + 1], text[found.end() + 1 :]
    name = _name.match(rest) if found[0] in BESIDE else None
    return (word, name[0], rest[name.end() :]) if name else (word, "", rest)


def words_for(axis: Axis) -> list[str]:
    """The words that may be used on an axis."""
    return [*(word for word, axes in HOWS.items() if axis in axes), *(w for w, one in BESIDE.items() if one[0] == axis)]


def lies_formulas(lies: LiesText) -> Iterator[str]:
    """The formulas of a part's lies, those in places that have meaning included."""
    axes: tuple[Axis, ...] = ("x", "y", "z")
    for axis in axes:
        written = getattr(lies, axis)
        for text in [written] if isinstance(written, str) else written or ():
            with suppress(Refused):
                where = where_text(text, axis)
                yield from (where.formula, where.start) if where.start else (where.formula,)
    yield from (*(lies.size or ()), lies.round, lies.bow)
    yield from (lies.tenon.long, lies.tenon.thick, lies.tenon.wide, lies.tenon.up) if lies.tenon else ()
    yield from (lies.lean.x, lies.lean.y) if lies.lean else ()
    yield from (far for one in lies.off for far in (one.x, one.y, one.z))


def faces_in(formulas: Iterable[str]) -> Iterator[str]:
    """The names of the parts whose faces formulas use; wrong formulas use none."""
    for formula in formulas:
        try:
            tokens = tokens_of(formula)
        except Refused:
            continue
        yield from (one.text.rpartition(".")[0] for one, _ in pairwise(tokens) if one.kind == "face")

"""Words fitted into a box: wrapped, as large as possible, and with a note when some are left out."""

from bisect import bisect_left
from collections.abc import Iterator, Sequence

from msgspec import Struct

from benchbell.labels.lettering import Lettering, Style

LEADING = 1.2
"""From line to line in letter heights, with room for accents and descenders."""

LEAST_MM = 1.5
"""The smallest letters, about 4 points, that print and can be read (common practice, no source)."""


class Block(Struct, frozen=True):
    """Words in one style. weight: letter size relative to other blocks."""

    text: str
    weight: float
    style: Style


class Line(Struct, frozen=True):
    """One line of words. size: letter height in mm."""

    text: str
    size: float
    style: Style


class Fitted(Struct, frozen=True):
    """Lines from top to bottom. whole: whether every word fits."""

    lines: tuple[Line, ...]
    whole: bool


def fit(
    blocks: Sequence[Block], width: float, height: float, largest: float, lettering: Lettering, least: float = LEAST_MM
) -> Fitted:
    """The blocks in the largest letters that fit, from `largest` to `least` mm times their weights. width, height: mm.

    When they do not fit at the least size, the last blocks are left out and a line says how many.
    """
    steps = [largest * 0.95**n for n in range(100) if largest * 0.95**n > least] + [least]
    step = bisect_left(steps, True, key=lambda size: total(wrapped(blocks, size, width, lettering)) <= height)
    if step < len(steps):
        return Fitted(tuple(wrapped(blocks, steps[step], width, lettering)), True)
    for fewer in with_fewer(blocks):
        lines = wrapped(fewer, least, width, lettering)
        if total(lines) <= height:
            return Fitted(tuple(lines), False)
    return Fitted(tuple(cut(wrapped(blocks[:1], least, width, lettering), width, height, lettering)), False)


def with_fewer(blocks: Sequence[Block]) -> Iterator[list[Block]]:
    """The blocks with one, two … of the last ones replaced by a line that says how many are left out."""
    for kept in range(len(blocks) - 1, 0, -1):
        yield [*blocks[:kept], Block(f"and {len(blocks) - kept} more", blocks[-1].weight, "plain")]


def total(lines: Sequence[Line]) -> float:
    """The height of lines below each other in mm."""
    return sum(line.size for line in lines) * LEADING


def wrapped(blocks: Sequence[Block], size: float, width: float, lettering: Lettering) -> list[Line]:
    """Every block broken into lines of at most that width. size: letter height for weight 1; both in mm."""
    return [
        Line(text, size * block.weight, block.style)
        for block in blocks
        for text in broken(block.text, width / (size * block.weight), block.style, lettering)
    ]


def broken(text: str, room: float, style: Style, lettering: Lettering) -> Iterator[str]:
    """A text in lines no wider than `room` letter heights. A word that is too wide by itself is broken."""
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if lettering.width(longer, style) <= room:
            line = longer
            continue
        if line:
            yield line
        *full, line = pieces(word, room, style, lettering)
        yield from full
    if line:
        yield line


def pieces(word: str, room: float, style: Style, lettering: Lettering) -> list[str]:
    """A word in pieces no wider than `room` letter heights, at least one letter each."""
    cuts = [""]
    for letter in word:
        if cuts[-1] and lettering.width(cuts[-1] + letter, style) > room:
            cuts.append("")
        cuts[-1] += letter
    return cuts


def cut(lines: Sequence[Line], width: float, height: float, lettering: Lettering) -> list[Line]:
    """As many lines as fit the height, the last one ending in "…"."""
    kept = list(lines[: int(height / (lines[0].size * LEADING))]) if lines else []
    if kept:
        last = kept[-1]
        text = last.text
        while text and lettering.width(f"{text}…", last.style) * last.size > width:
            text = text[:-1]
        kept[-1] = Line(f"{text}…", last.size, last.style)
    return kept

"""Words into a box: as large as they fit, wrapped, and never cut off without saying so."""

from bisect import bisect_left
from collections.abc import Iterator, Sequence

from msgspec import Struct

from benchbell.labels.lettering import Lettering, Style

LEADING = 1.2
"""From line to line, in letter heights: room for an accent above and a tail below."""

LEAST_MM = 1.5
"""Letters no smaller than about 4 points: the least that prints and reads (common practice, no source)."""


class Block(Struct, frozen=True):
    """Some words in one style. weight: how large beside the other blocks."""

    text: str
    weight: float
    style: Style


class Line(Struct, frozen=True):
    """One line of words, its letters so many mm high."""

    text: str
    size: float
    style: Style


class Fitted(Struct, frozen=True):
    """Lines from top to bottom. whole: whether every word is there."""

    lines: tuple[Line, ...]
    whole: bool


def fit(
    blocks: Sequence[Block], width: float, height: float, largest: float, lettering: Lettering, least: float = LEAST_MM
) -> Fitted:
    """The blocks as large as they fit, from `largest` mm down to `least`, times their weights.

    What does not fit at the least size is left out from the end, and a line says how much.
    """
    steps = [largest * 0.95**n for n in range(100) if largest * 0.95**n > least] + [least]
    step = bisect_left(steps, True, key=lambda size: total(wrapped(blocks, size, width, lettering)) <= height)
    if step < len(steps):
        return Fitted(tuple(wrapped(blocks, steps[step], width, lettering)), True)
    for fewer in shed(blocks):
        lines = wrapped(fewer, least, width, lettering)
        if total(lines) <= height:
            return Fitted(tuple(lines), False)
    return Fitted(tuple(cut(wrapped(blocks[:1], least, width, lettering), width, height, lettering)), False)


def shed(blocks: Sequence[Block]) -> Iterator[list[Block]]:
    """The blocks with more and more of the last ones left out, and how many those are."""
    for kept in range(len(blocks) - 1, 0, -1):
        yield [*blocks[:kept], Block(f"and {len(blocks) - kept} more", blocks[-1].weight, "plain")]


def total(lines: Sequence[Line]) -> float:
    """The height of lines under each other, in mm."""
    return sum(line.size for line in lines) * LEADING


def wrapped(blocks: Sequence[Block], size: float, width: float, lettering: Lettering) -> list[Line]:
    """Every block broken into lines of at most that width."""
    return [
        Line(text, size * block.weight, block.style)
        for block in blocks
        for text in broken(block.text, width / (size * block.weight), block.style, lettering)
    ]


def broken(text: str, room: float, style: Style, lettering: Lettering) -> Iterator[str]:
    """Lines of words no wider than `room` letter heights; a word that is wider alone is broken too."""
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
    """A word in pieces no wider than `room`, but at least one letter each."""
    cuts = [""]
    for letter in word:
        if cuts[-1] and lettering.width(cuts[-1] + letter, style) > room:
            cuts.append("")
        cuts[-1] += letter
    return cuts


def cut(lines: Sequence[Line], width: float, height: float, lettering: Lettering) -> list[Line]:
    """As many lines as the height holds, the last one ending in "…"."""
    kept = list(lines[: int(height / (lines[0].size * LEADING))]) if lines else []
    if kept:
        last = kept[-1]
        text = last.text
        while text and lettering.width(f"{text}…", last.style) * last.size > width:
            text = text[:-1]
        kept[-1] = Line(f"{text}…", last.size, last.style)
    return kept

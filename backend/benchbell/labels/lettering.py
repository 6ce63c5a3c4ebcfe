"""What letters there are and how wide they run, so that words can be fitted before they are drawn.

The PDF's own fonts hold the letters of Windows-1252 (western European languages). A TrueType file given by
the maker replaces them. A letter the font lacks is written as its plain form ("ő" as "o"), and as "?" when
it has none; who prints is told. A label printed from the page needs none of this: the browser has the letters.
"""

import unicodedata
from functools import cache
from pathlib import Path
from typing import Literal

from fontTools.ttLib import TTFont, TTLibError  # type: ignore[import-untyped]
from fpdf import FPDF
from msgspec import Struct

from benchbell.findings import Refused

Style = Literal["plain", "bold", "mono"]

ENCODING = "windows-1252"
PDF_FONTS: dict[Style, tuple[str, Literal["", "B"]]] = {
    "plain": ("helvetica", ""),
    "bold": ("helvetica", "B"),
    "mono": ("courier", "B"),
}
POINTS_A_MM = 72 / 25.4

STROKED = {"Ł": "L", "ł": "l", "Đ": "D", "đ": "d", "Ħ": "H", "ħ": "h", "ı": "i", "Ŧ": "T", "ŧ": "t"}
"""Letters whose stroke is no accent to Unicode (no canonical decomposition), as written without it."""


class Guessed(dict[str, float]):
    """Widths that are known, and a guess for any other letter, on the wide side."""

    def __missing__(self, letter: str) -> float:
        """0 for what stands on another letter, a full width for the wide scripts of East Asia."""
        if unicodedata.combining(letter):
            return 0.0
        return 1.0 if unicodedata.east_asian_width(letter) in "WF" else 0.7


class Lettering(Struct, frozen=True):
    """Widths of letters 1 mm high, by style. font: the file they come from, or None.

    any_letter: whether letters without a known width can be written too.
    """

    widths: dict[Style, dict[str, float]]
    font: Path | None = None
    any_letter: bool = False

    def width(self, text: str, style: Style) -> float:
        """How wide the text runs in letters 1 mm high, in mm. The text must be writable."""
        return sum(map(self.widths[style].__getitem__, text))

    def writable(self, text: str) -> str:
        """The text on one line, in letters there are."""
        composed = unicodedata.normalize("NFC", " ".join(text.split()))
        if self.any_letter:
            return composed
        return "".join(letter if letter in self.widths["plain"] else self.plain_form(letter) for letter in composed)

    def plain_form(self, letter: str) -> str:
        """A letter without what the font does not have; "?" when nothing is left of it."""
        bare = STROKED.get(letter) or "".join(
            part for part in unicodedata.normalize("NFKD", letter) if not unicodedata.combining(part)
        )
        return bare if bare and all(part in self.widths["plain"] for part in bare) else "?"


@cache
def built_in() -> Lettering:
    """The PDF's own sans serif, as fpdf2 measures it."""
    return Lettering({style: core_widths(style) for style in PDF_FONTS})


def core_widths(style: Style) -> dict[str, float]:
    """Widths of the letters in one of the PDF's own fonts."""
    pdf = FPDF(unit="mm")
    pdf.core_fonts_encoding = ENCODING
    family, emphasis = PDF_FONTS[style]
    pdf.set_font(family, emphasis, POINTS_A_MM)
    codes = (*range(0x20, 0x7F), *range(0x80, 0x100))
    letters = bytes(codes).decode(ENCODING, errors="ignore")
    return {letter: pdf.get_string_width(letter) for letter in letters}


@cache
def in_a_browser() -> Lettering:
    """A browser's sans serif: as wide as the PDF's own, with all other letters besides."""
    return Lettering({style: Guessed(widths) for style, widths in built_in().widths.items()}, any_letter=True)


@cache
def from_file(font: Path) -> Lettering:
    """The letters of a TrueType file; codes stay in the PDF's own. Raises Refused when it cannot be read."""
    try:
        with TTFont(font) as opened:
            em, advance = opened["head"].unitsPerEm, opened["hmtx"]
            widths = {chr(code): advance[glyph][0] / em for code, glyph in opened.getBestCmap().items()}
    except (OSError, TTLibError, KeyError) as error:
        raise Refused(f"{font} is no font that can be read: {error}.", "Give a TrueType file (.ttf).") from error
    if missing := set("?… ") - widths.keys():
        raise Refused(f"{font} lacks {sorted(missing)}, which every label may need.", "Give a font for running text.")
    return Lettering({"plain": widths, "bold": widths, "mono": built_in().widths["mono"]}, font)

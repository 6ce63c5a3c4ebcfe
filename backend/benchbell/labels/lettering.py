"""The letters of a font and their widths, with which words are fitted before they are drawn.

The fonts built into PDF have the letters of Windows-1252 (western European languages); a TrueType file of the maker's
replaces them. A letter that the font lacks is written in its plain form ("ő" as "o"), or as "?" when it has none, and
a finding says so. A browser that prints labels has all letters.
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
"""Letters with a stroke, by which Unicode does not decompose them, and their plain forms."""

SIGNS = {"≈": "~"}
"""Signs of our own texts that the built-in fonts lack, and what everybody reads as the same."""


class EstimatedWidths(dict[str, float]):
    """Known widths, and an estimate for every other letter that is rather too wide."""

    def __missing__(self, letter: str) -> float:
        """The estimated width: 0 for a combining mark, 1 for the wide scripts of East Asia, otherwise 0.7."""
        if unicodedata.combining(letter):
            return 0.0
        return 1.0 if unicodedata.east_asian_width(letter) in "WF" else 0.7


class Lettering(Struct, frozen=True):
    """Widths in mm of letters 1 mm high, by style. font: the TrueType file, or None for the built-in fonts.

    any_letter: whether letters without a known width can be written too, as in a browser.
    """

    widths: dict[Style, dict[str, float]]
    font: Path | None = None
    any_letter: bool = False

    def width(self, text: str, style: Style) -> float:
        """Width in mm of a text in letters 1 mm high. The text must come from `writable`."""
        return sum(map(self.widths[style].__getitem__, text))

    def writable(self, text: str) -> str:
        """The text on one line, with each letter that the font lacks in its plain form."""
        composed = unicodedata.normalize("NFC", " ".join(text.split()))
        if self.any_letter:
            return composed
        return "".join(letter if letter in self.widths["plain"] else self.plain_form(letter) for letter in composed)

    def plain_form(self, letter: str) -> str:
        """A letter without its accents and strokes; "?" when the font does not have that either."""
        bare = (STROKED | SIGNS).get(letter) or "".join(
            part for part in unicodedata.normalize("NFKD", letter) if not unicodedata.combining(part)
        )
        return bare if bare and all(part in self.widths["plain"] for part in bare) else "?"


def in_plain_signs(text: str) -> str:
    """A text with what stands for each of SIGNS: nobody needs to be told of that."""
    return text.translate(str.maketrans("".join(SIGNS), "".join(SIGNS.values())))


@cache
def built_in() -> Lettering:
    """The built-in sans serif of PDF, as fpdf2 measures it."""
    return Lettering({style: core_widths(style) for style in PDF_FONTS})


def core_widths(style: Style) -> dict[str, float]:
    """Widths of the letters in a built-in font of PDF."""
    pdf = FPDF(unit="mm")
    pdf.core_fonts_encoding = ENCODING
    family, emphasis = PDF_FONTS[style]
    pdf.set_font(family, emphasis, POINTS_A_MM)
    codes = (*range(0x20, 0x7F), *range(0x80, 0x100))
    letters = bytes(codes).decode(ENCODING, errors="ignore")
    return {letter: pdf.get_string_width(letter) for letter in letters}


@cache
def in_a_browser() -> Lettering:
    """A browser's sans serif: as wide as the built-in one of PDF, with every other letter too."""
    return Lettering({style: EstimatedWidths(widths) for style, widths in built_in().widths.items()}, any_letter=True)


@cache
def from_file(font: Path) -> Lettering:
    """The letters of a TrueType file; codes stay in the built-in font.

    Raises Refused when the file cannot be read or lacks a letter that every label may need.
    """
    try:
        with TTFont(font) as opened:
            em, advance = opened["head"].unitsPerEm, opened["hmtx"]
            widths = {chr(code): advance[glyph][0] / em for code, glyph in opened.getBestCmap().items()}
    except (OSError, TTLibError, KeyError) as error:
        raise Refused(f"{font} cannot be read as a font: {error}.", "Give a TrueType file (.ttf).") from error
    if missing := set("?… ") - widths.keys():
        raise Refused(f"{font} lacks {sorted(missing)}, which every label may need.", "Give a font for running text.")
    return Lettering({"plain": widths, "bold": widths, "mono": built_in().widths["mono"]}, font)

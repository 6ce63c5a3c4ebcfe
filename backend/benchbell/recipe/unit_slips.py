"""Slips in how a measure is written in a formula, each with what is meant: a dash before a fraction, a unit spelt out."""

import re

WRITTEN_OUT = {
    "mm": "millimetre millimetres millimeter millimeters mms",
    "cm": "centimetre centimetres centimeter centimeters cms",
    "m": "metre metres meter meters",
    "in": "inch inches ins",
    "ft": "foot feet",
    "deg": "degree degrees degs",
    "s": "second seconds sec secs",
    "min": "minute minutes mins",
    "h": "hour hours hr hrs",
    "%": "percent",
}
"""By unit of the language, other words for it in lower case, which are not read."""

UNIT_MEANT = {word: unit for unit, words in WRITTEN_OUT.items() for word in words.split()}
UNIT_MEANT |= {unit: unit for unit in (*WRITTEN_OUT, "d")}

_dashed = re.compile(r"(?<![\w./])(\d+)[-‐-―−](\d+/\d+ *(?:in\b|ft\b|[\"″”'′’]))")
_pointed = re.compile(r"\.\s*([A-Za-z]*)")
_last_word = re.compile(r"[A-Za-z]+$")
_letters = re.compile(r"[A-Za-z]+")


def dashed_fraction(formula: str) -> tuple[int, str] | None:
    """The column, from 1, and the mended text of the first fraction that a dash ties to its whole number: 28-1/4 in.

    Only for a formula that is wrong as it stands: 3 * 28-1/4 may be meant.
    """
    m = _dashed.search(formula)
    return (m.start() + 1, f"{m[1]} {m[2]}") if m else None


def unit_meant(number: str, word: str) -> str:
    """What to write for a number and a word that stands in place of its unit: "28 in"; "" for any other word."""
    unit = UNIT_MEANT.get(word.lower(), "")
    return f"{number} {unit}" if unit else ""


def slip_at(formula: str, at: int) -> tuple[str, str] | None:
    """What is wrong, and the next step, where no token starts: a point at a unit, a unit in capitals. None otherwise."""
    before = formula[:at].rstrip()
    if m := _pointed.match(formula, at):
        if m[1].lower() in UNIT_MEANT and before[-1:].isdigit():
            return "a point stands between a number and its unit.", f"Write a space in its place."
        if not m[1] and (word := _last_word.search(before)) and word[0].lower() in UNIT_MEANT:
            return "a unit is written without a point.", "Take out the point."
    if (m := _letters.match(formula, at)) and m[0].lower() in UNIT_MEANT:
        return f"“{m[0]}” is not read as a unit.", f"Write {UNIT_MEANT[m[0].lower()]}."
    return None

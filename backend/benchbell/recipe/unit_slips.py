"""Slips in how a measure is written in a formula, and what is meant: a dash before a fraction, a unit spelt out."""

import re

from benchbell.recipe.measure import UNITS

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

Slip = tuple[int, str, str]
"""Its column, from 1; what is wrong; the next step."""

_dashed = re.compile(r"(?<![\w./])(\d+)[-‐-―−](\d+/\d+ *(?:in\b|ft\b|[\"″”'′’]))")
_spelt = re.compile(r"(?<![\w./])((?:\d+ +)?\d+/\d+|\d+(?:\.\d+)?)\s*([A-Za-z]+)\b")
_pointed = re.compile(r"\d(\.)\s*([A-Za-z]+)|\d\s*([A-Za-z]+)(\.)(?!\d)")


def dashed_fraction(formula: str) -> Slip | None:
    """The first fraction that a dash ties to its whole number: 28-1/4 in.

    Only for a formula whose kinds do not go together: 3 * 28-1/4 may be meant.
    """
    if m := _dashed.search(formula):
        what = "a dash ties a fraction to its whole number, which reads as minus."
        return m.start() + 1, what, f"Did you mean {m[1]} {m[2]}?"
    return None


def unit_slip(formula: str) -> Slip | None:
    """The first word in place of a unit, in capitals or with a point. Only for a formula that is wrong as it stands."""
    for m in _spelt.finditer(formula):
        if unit := of_word(m[2]):
            return m.start(2) + 1, f"“{m[2]}” is not read as a unit.", f"Write {m[1]} {unit}."
    for m in _pointed.finditer(formula):
        word = m[2] or m[3]
        if (unit := of_word(word)) or word in UNITS:
            column = m.start(1 if m[2] else 4) + 1
            return column, "a unit stands without a point.", f"Write it as in 3 {unit or word}."
    return None


def of_word(word: str) -> str:
    """The unit that a word stands for; "" for a unit itself, and for any other word."""
    low = word.lower()
    return "" if word in UNITS else UNIT_MEANT.get(low, low if low in UNITS else "")

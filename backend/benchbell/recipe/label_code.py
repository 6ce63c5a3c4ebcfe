"""Label codes: seven random characters and a check character, shown as `7H3K-9QXM`.

Crockford's base 32, which takes O for 0 and I and L for 1. The check character is a weighted sum over GF(32) with a
different weight for each place: one wrong character, or two swapped ones, always change the sum.
Twin: pwa/src/recipe/label_code.ts.
"""

import re
from collections.abc import Iterable
from typing import Literal

from msgspec import Struct

from benchbell.findings import Refused

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
LENGTH = 8
BITS = 35

SEPARATORS = " \t\r\n\u00a0-\u2010\u2011\u2012\u2013\u2014"
"""Spaces and dashes that people and keyboards put into a code; they are ignored."""

READ_AS = {"O": "0", "I": "1", "L": "1"}

Kind = Literal["part", "fixture", "station", "setup", "rack"]

PATHS: dict[Kind, str] = {"part": "P", "fixture": "F", "station": "S", "setup": "U", "rack": "C"}
"""By kind of thing, the letter in its label's address: /P/CODE. An assembly has a code and counts as
a part, and so does a fixture that is made in a build; a fixture of the shop has its name there."""

ADDRESS = re.compile(r"https?://[^/ \t\r\n]+/([A-Z])/([0-9A-Z-]+)/?", re.IGNORECASE | re.ASCII)


class NotALabelCode(Refused):
    """A text that was typed or scanned is not a label code."""


class ForeignLabel(NotALabelCode):
    """A QR code was not printed by this program."""


class LabelTarget(Struct, frozen=True):
    """The thing a label names. name: a part's code, or the slug of a shop's fixture, a station, setup or clamp kind."""

    kind: Kind
    name: str


def new_code(bits: int) -> str:
    """A code from 35 random bits, as a number from 0 to 2**35 - 1. Raises ValueError when it is outside that range."""
    if not 0 <= bits < 2**BITS:
        raise ValueError(f"bits is {bits}, not 0 to 2**{BITS} - 1")
    data = "".join(ALPHABET[bits // 32**place % 32] for place in reversed(range(LENGTH - 1)))
    return data + check_character(data)


def check_character(data: str) -> str:
    """The check character of seven characters: their weighted sum."""
    total = 0
    for character in data:
        total = times_alpha(total ^ ALPHABET.index(character))
    return ALPHABET[total]


def times_alpha(element: int) -> int:
    """An element of GF(32) times the primitive element. The field's polynomial is x^5 + x^2 + 1."""
    return element * 2 if element < 16 else (element * 2) ^ 0b100101


def read_code(text: str) -> str:
    """The code in a typed text: either case, O for 0, I and L for 1, spaces and dashes anywhere.

    Raises NotALabelCode when its length, a character or the check character is wrong.
    """
    code = normalized(text)
    if len(code) != LENGTH:
        raise NotALabelCode(
            f"“{shortened(text)}” has {len(code)} characters, a label code has {LENGTH}.",
            "Type the whole code, as printed beside the square.",
        )
    for character in code:
        if character not in ALPHABET:
            raise NotALabelCode(
                f"“{shortened(text)}” has a “{character}”, which no label code has.",
                "Look at that character on the label again.",
            )
    if check_character(code[:-1]) != code[-1]:
        raise NotALabelCode(
            f"{show_code(code)} does not add up: one character is wrong, or two are swapped.",
            "Compare it with the label, character by character.",
        )
    return code


def normalized(text: str) -> str:
    """The text in the characters of codes, without separators. Characters that no code has stay."""
    upper = (ascii_upper(character) for character in text if character not in SEPARATORS)
    return "".join(READ_AS.get(character, character) for character in upper)


def ascii_upper(character: str) -> str:
    """The capital of an ASCII letter; any other character as it is."""
    return character.upper() if "a" <= character <= "z" else character


def show_code(code: str) -> str:
    """The code as printed: two groups of four characters."""
    return f"{code[:4]}-{code[4:]}"


def similar_codes(text: str, known: Iterable[str]) -> list[str]:
    """The known codes one edit away from a typed text, sorted.

    One edit: a character wrong, missing or added, or two neighbours swapped.
    """
    typed = normalized(text)
    return sorted(code for code in known if is_one_edit_away(typed, code))


def is_one_edit_away(typed: str, code: str) -> bool:
    """Whether at most one edit turns one into the other."""
    start = next((i for i, (a, b) in enumerate(zip(typed, code, strict=False)) if a != b), min(len(typed), len(code)))
    a, b = typed[start:], code[start:]
    return a[1:] == b[1:] or a[1:] == b or a == b[1:] or (a[1::-1] == b[:2] and a[2:] == b[2:])


def slug(name: str) -> str:
    """A name for use in an address: capitals, digits and single dashes."""
    return re.sub("[^0-9A-Z]+", "-", "".join(map(ascii_upper, name))).strip("-")


def label_target(text: str) -> LabelTarget:
    """The thing that a QR code's text names: an address of a label, on any host, or a code alone.

    Raises ForeignLabel when the text is neither.
    """
    address = ADDRESS.fullmatch(text.strip(" \r\n"))
    try:
        if address is None:
            return LabelTarget("part", read_code(text))
        return target_at(address[1].upper(), address[2])
    except NotALabelCode as error:
        raise ForeignLabel(
            f"This square holds “{shortened(text)}”, which is not a label of this program.",
            "Scan a label that was printed here.",
        ) from error


def target_at(letter: str, name: str) -> LabelTarget:
    """The thing at the address /LETTER/NAME. Raises NotALabelCode when there is no such letter or name."""
    kind = next((kind for kind, known in PATHS.items() if known == letter), None)
    if kind is None or not slug(name):
        raise NotALabelCode(f"There is nothing at /{letter}/{name}.", "Scan a label that was printed here.")
    return LabelTarget(kind, read_code(name) if kind == "part" else slug(name))


def shortened(text: str) -> str:
    """A text cut to 40 characters, to quote in a sentence."""
    return text if len(text) <= 40 else text[:39] + "…"

"""Label codes: seven characters drawn by chance and one that checks them, shown as `7H3K-9QXM`.

Crockford's base 32, so that nobody has to tell 0 from O or 1 from I and L. The check character is a
weighted sum over GF(32), each place with a weight of its own: any one wrong character and any two
characters swapped give another sum, wherever they stand.
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
"""Spaces and dashes that people and keyboards put into a code."""

READ_AS = {"O": "0", "I": "1", "L": "1"}

Kind = Literal["part", "station", "setup", "rack"]

PATHS: dict[Kind, str] = {"part": "P", "station": "S", "setup": "U", "rack": "C"}
"""The step of a label's address that tells what it stands on. Assemblies have codes, as parts do."""

ADDRESS = re.compile(r"https?://[^/ \t\r\n]+/([A-Z])/([0-9A-Z-]+)/?", re.IGNORECASE | re.ASCII)


class NotALabelCode(Refused):
    """What was typed or scanned is no label code."""


class ForeignLabel(NotALabelCode):
    """A square that this program did not print."""


class Held(Struct, frozen=True):
    """What a label's square holds. name: a part's code, or the slug of a station, setup or clamp kind."""

    kind: Kind
    name: str


def new_code(bits: int) -> str:
    """A code from 35 random bits, 0 to 2**35 - 1."""
    if not 0 <= bits < 2**BITS:
        raise ValueError(f"bits is {bits}, wanted 0 to 2**{BITS} - 1")
    data = "".join(ALPHABET[bits // 32**place % 32] for place in reversed(range(LENGTH - 1)))
    return data + check_character(data)


def check_character(data: str) -> str:
    """What the seven characters before it add up to."""
    total = 0
    for character in data:
        total = times_alpha(total ^ ALPHABET.index(character))
    return ALPHABET[total]


def times_alpha(element: int) -> int:
    """One of GF(32) times its primitive element; the field is made by x^5 + x^2 + 1."""
    return element * 2 if element < 16 else (element * 2) ^ 0b100101


def read_code(text: str) -> str:
    """The code somebody typed: either case, O for 0, I and L for 1, spaces and dashes anywhere.

    Raises NotALabelCode with what is wrong with it.
    """
    code = normal(text)
    if len(code) != LENGTH:
        raise NotALabelCode(
            f"“{shortened(text)}” has {len(code)} characters, a label code has {LENGTH}.",
            "Type all of it, as printed beside the square.",
        )
    for character in code:
        if character not in ALPHABET:
            raise NotALabelCode(
                f"“{shortened(text)}” has a “{character}”, which no label code has.",
                "Look at that character on the label again.",
            )
    if check_character(code[:-1]) != code[-1]:
        raise NotALabelCode(
            f"{show_code(code)} does not add up: a character is wrong, or two are swapped.",
            "Compare it with the label, character by character.",
        )
    return code


def normal(text: str) -> str:
    """The text as a code would be written; characters that no code has stay as they are."""
    upper = (ascii_upper(character) for character in text if character not in SEPARATORS)
    return "".join(READ_AS.get(character, character) for character in upper)


def ascii_upper(character: str) -> str:
    """Its capital, for the 26 letters alone."""
    return character.upper() if "a" <= character <= "z" else character


def show_code(code: str) -> str:
    """As printed: two groups of four."""
    return f"{code[:4]}-{code[4:]}"


def near(text: str, known: Iterable[str]) -> list[str]:
    """The known codes that one slip away from what was typed: one character wrong, missing,
    too many, or two neighbours swapped."""
    typed = normal(text)
    return sorted(code for code in known if one_slip(typed, code))


def one_slip(typed: str, code: str) -> bool:
    """True when one edit at most turns one into the other."""
    start = next((i for i, (a, b) in enumerate(zip(typed, code, strict=False)) if a != b), min(len(typed), len(code)))
    a, b = typed[start:], code[start:]
    return a[1:] == b[1:] or a[1:] == b or a == b[1:] or (a[1::-1] == b[:2] and a[2:] == b[2:])


def slug(name: str) -> str:
    """A name as it stands in an address: capitals, digits and single dashes."""
    return re.sub("[^0-9A-Z]+", "-", "".join(map(ascii_upper, name))).strip("-")


def held_in(text: str) -> Held:
    """What a square holds: an address of ours, on whatever host it was printed for, or the code alone.

    Raises ForeignLabel for anything else.
    """
    address = ADDRESS.fullmatch(text.strip(" \r\n"))
    try:
        if address is None:
            return Held("part", read_code(text))
        return held_at(address[1].upper(), address[2])
    except NotALabelCode as error:
        raise ForeignLabel(
            f"This square holds “{shortened(text)}”, which is not a label of this program.",
            "Scan a label that was printed here.",
        ) from error


def held_at(step: str, name: str) -> Held:
    """What stands under one step of our addresses. Raises NotALabelCode when there is no such step."""
    kind = next((kind for kind, letter in PATHS.items() if letter == step), None)
    if kind is None or not slug(name):
        raise NotALabelCode(f"There is nothing under /{step}/{name}.", "Scan a label that was printed here.")
    return Held(kind, read_code(name) if kind == "part" else slug(name))


def shortened(text: str) -> str:
    """At most 40 characters of it."""
    return text if len(text) <= 40 else text[:39] + "…"

"""The tokenizer of formulas."""

import re
from functools import lru_cache
from typing import Literal

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.recipe.measure import NUMBER, SPACES, NotAMeasure, Quantity, scan
from benchbell.recipe.unit_slips import unit_slip

Kind = Literal["size", "name", "face", "text", "mark", "end"]

NAME = re.compile(r"[a-z][a-z0-9_]*")
FACES = ("left", "right", "front", "back", "bottom", "top")
FACE = re.compile(rf"[a-z][a-z0-9]*(?:-[a-z0-9]+)*\.(?:{'|'.join(FACES)})\b")  # of a part, as in leg-1.top
TEXT = re.compile(r"\"([^\"]*)\"|'([^']*)'")
MARKS = "+-*/^(),"
MOST_CHARACTERS = 2000  # of a formula; a longer one should be split into named sizes
SHOWN = 60  # characters of a formula that a message quotes


class FormulaError(Refused):
    """A formula is wrong. column: where, counted from 1."""

    def __init__(self, formula: str, column: int, what: str, next_step: str) -> None:
        """what: follows the quoted formula and the column in the sentence."""
        quoted = formula if len(formula) <= SHOWN else formula[:SHOWN] + "…"
        super().__init__(f"Formula “{quoted}”, column {column}: {what}", next_step)
        self.column = column


class Token(Struct, frozen=True):
    """One token. text: as written, without quotes. column: from 1.

    quantity: the value of a "size". fraction: whether it has a unit and is written as a fraction.
    """

    kind: Kind
    text: str
    column: int
    quantity: Quantity = Quantity(0, NUMBER)
    fraction: bool = False


@lru_cache(maxsize=2048)
def tokens_of(formula: str) -> tuple[Token, ...]:
    """The tokens of a formula, the last of kind "end". Raises FormulaError when it is too long or has a wrong token."""
    if len(formula) > MOST_CHARACTERS:
        raise FormulaError(
            formula, MOST_CHARACTERS, f"it is longer than {MOST_CHARACTERS} characters.", "Name parts of it as sizes."
        )
    tokens: list[Token] = []
    at = 0
    while (at := skip_spaces(formula, at)) < len(formula):
        token, at = token_at(formula, at)
        tokens.append(token)
    return (*tokens, Token("end", "", len(formula) + 1))


def skip_spaces(formula: str, at: int) -> int:
    """The first index from `at` on that is not a space."""
    while at < len(formula) and formula[at] in SPACES + "\r\n":
        at += 1
    return at


def token_at(formula: str, at: int) -> tuple[Token, int]:
    """The token that starts at `at`, and where it ends. Raises FormulaError when no token starts there."""
    try:
        found = scan(formula, at, bare_fraction=False)
    except NotAMeasure as error:
        raise FormulaError(formula, at + 1, error.what, error.next_step) from error
    if found:
        written = formula[at : found[1]]
        has_unit = found[0].dim != NUMBER
        return Token("size", written, at + 1, found[0], has_unit and ("/" in written or "⁄" in written)), found[1]
    if m := FACE.match(formula, at):
        return Token("face", m[0], at + 1), m.end()
    if m := NAME.match(formula, at):
        return Token("name", m[0], at + 1), m.end()
    if m := TEXT.match(formula, at):
        return Token("text", m[1] or m[2] or "", at + 1), m.end()
    if formula[at] in MARKS:
        return Token("mark", formula[at], at + 1), at + 1
    no_token = (at + 1, f"“{formula[at]}” has no meaning here.", f"Use sizes, names and {MARKS}.")
    raise FormulaError(formula, *(unit_slip(formula) or no_token))


def token_text(token: Token) -> str:
    """A token to quote in a sentence."""
    return "the end" if token.kind == "end" else f"“{token.text}”"

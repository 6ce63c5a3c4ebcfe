"""A formula's text cut into its smallest pieces, each with the column it stands in."""

import re
from typing import Literal

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.recipe.measure import NUMBER, SPACES, NotAMeasure, Quantity, scan

Kind = Literal["size", "name", "text", "mark", "end"]

NAME = re.compile(r"[a-z][a-z0-9_]*")
TEXT = re.compile(r"\"([^\"]*)\"|'([^']*)'")
MARKS = "+-*/^(),"
LONGEST = 2000  # characters; a formula that needs more wants named sizes
SHOWN = 60  # characters of a formula repeated in a sentence about it


class BadFormula(Refused):
    """A formula that cannot be understood. column: where, counted from 1."""

    def __init__(self, formula: str, column: int, what: str, next_step: str) -> None:
        """Quote the formula, cut to SHOWN characters, and say what stands where."""
        quoted = formula if len(formula) <= SHOWN else formula[:SHOWN] + "…"
        super().__init__(f"Formula “{quoted}”, column {column}: {what}", next_step)
        self.column = column


class Token(Struct, frozen=True):
    """One piece: `text` as written without quotes, `column` from 1.

    quantity: what a "size" is worth. fraction: whether it is written with a fraction.
    """

    kind: Kind
    text: str
    column: int
    quantity: Quantity = Quantity(0, NUMBER)
    fraction: bool = False


def tokens_of(formula: str) -> list[Token]:
    """The pieces of a formula, the last of kind "end". Raises BadFormula."""
    if len(formula) > LONGEST:
        raise BadFormula(formula, LONGEST, f"it is longer than {LONGEST} characters.", "Name parts of it as sizes.")
    tokens, at = [], 0
    while (at := past_gap(formula, at)) < len(formula):
        token, at = token_at(formula, at)
        tokens.append(token)
    return [*tokens, Token("end", "", len(formula) + 1)]


def past_gap(formula: str, at: int) -> int:
    """The first place from `at` on that holds no space."""
    while at < len(formula) and formula[at] in SPACES + "\r\n":
        at += 1
    return at


def token_at(formula: str, at: int) -> tuple[Token, int]:
    """The piece that starts at `at`, and where it ends. Raises BadFormula."""
    try:
        found = scan(formula, at, bare_fraction=False)
    except NotAMeasure as error:
        raise BadFormula(formula, at + 1, error.what, error.next_step) from error
    if found:
        written = formula[at : found[1]]
        has_unit = found[0].dim != NUMBER
        return Token("size", written, at + 1, found[0], has_unit and ("/" in written or "⁄" in written)), found[1]
    if m := NAME.match(formula, at):
        return Token("name", m[0], at + 1), m.end()
    if m := TEXT.match(formula, at):
        return Token("text", m[1] or m[2] or "", at + 1), m.end()
    if formula[at] in MARKS:
        return Token("mark", formula[at], at + 1), at + 1
    raise BadFormula(formula, at + 1, f"“{formula[at]}” has no meaning here.", f"Use sizes, names and {MARKS}.")

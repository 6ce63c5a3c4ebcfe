"""The findings of a checker, and the exceptions that a person's input can raise.

Every sentence to the maker has one order: the thing, its value, the value it needs, what to do.
"""

from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from typing import Literal

from msgspec import Struct

MOST_NAMES = 12
"""The most names in one sentence."""

Grade = Literal["error", "warning", "accepted"]


class Finding(Struct, frozen=True):
    """One error, warning or accepted warning, and what to do about it.

    rule: the rule's name, such as "spread-too-long"; the same in every language.
    line: in the recipe's file, from 1; 0 when it is not about one line.
    what: one sentence, with the figures. next_step: one sentence, an order.
    reason: why the maker accepts it, in the recipe's words; "" unless the grade is "accepted".
    """

    grade: Grade
    rule: str
    file: str
    line: int
    what: str
    next_step: str
    reason: str = ""

    def __str__(self) -> str:
        """`file:line: grade: what next_step`, for a terminal; of an accepted warning the reason in its place."""
        rest = f"Accepted: {self.reason}" if self.grade == "accepted" else self.next_step
        return f"{self.file}:{self.line}: {self.grade}: {self.what} {rest}"


class Refused(ValueError):
    """A request cannot be carried out. what: why, one sentence. next_step: what to do instead, an order."""

    def __init__(self, what: str, next_step: str) -> None:
        super().__init__(f"{what} {next_step}")
        self.what = what
        self.next_step = next_step


class OutsideValidity(Refused):
    """A value is outside the range in which a rule or figure holds."""


class TooCold(Refused):
    """The air is colder than the least temperature of a glue or finish."""


class UnknownName(Refused):
    """A name is in no table: of a species, a glue, a finish, a station …"""


def use_one_of(name: str, known: Iterable[str]) -> str:
    """The next step for an unknown name: "Did you mean …?" with the nearest known names, or else the first few."""
    names = sorted(known)
    if near := get_close_matches(name, names, n=3):
        return did_you_mean(near)
    more = ", …" if len(names) > MOST_NAMES else "."
    return f"Use one of: {', '.join(names[:MOST_NAMES])}{more}" if names else "Add it first: there is none yet."


def did_you_mean(near: Sequence[str]) -> str:
    """The names, nearest first, as a question: "Did you mean leg, legs or edge?"."""
    *others, last = near
    return f"Did you mean {', '.join(others)}{' or ' if others else ''}{last}?"

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


class Use(Struct, frozen=True):
    """Where a recipe uses a fragment. name: what it is used as. line: in `file`, from 1."""

    name: str
    file: str
    line: int


class Finding(Struct, frozen=True, omit_defaults=True):
    """One error, warning or accepted warning, and what to do about it.

    rule: the rule's name, such as "spread-too-long"; the same in every language.
    line: in the recipe's file, from 1; 0 when it is not about one line.
    what: one sentence, with the figures. next_step: one sentence, an order.
    reason: why the maker accepts it, in the recipe's words; "" unless the grade is "accepted".
    used_by: for a finding in a fragment, who uses it; then who uses that, up to the recipe.
    """

    grade: Grade
    rule: str
    file: str
    line: int
    what: str
    next_step: str
    reason: str = ""
    used_by: tuple[Use, ...] = ()

    def __str__(self) -> str:
        """`file:line: grade: what next_step`, for a terminal; of an accepted warning the reason in place of the next
        step. Of a fragment the recipe's own file and line come first, and last where the fragment says it:
        `file:line: grade: In door: what next_step (fragment-file:line)`.
        """
        rest = f"Accepted: {self.reason}" if self.grade == "accepted" else self.next_step
        if not self.used_by:
            return f"{self.file}:{self.line}: {self.grade}: {self.what} {rest}"
        names = ", ".join(use.name for use in reversed(self.used_by))
        places = [f"{self.file}:{self.line}", *(f"used at {use.file}:{use.line}" for use in self.used_by[:-1])]
        recipe = self.used_by[-1]
        return f"{recipe.file}:{recipe.line}: {self.grade}: In {names}: {self.what} {rest} ({', '.join(places)})"

    def with_rule(self) -> str:
        """The same, and at the end of what a recipe may accept the rule's name, which `accept` asks for: `… [rule]`."""
        return str(self) if self.grade == "error" else f"{self} [{self.rule}]"


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


def use_one_of(name: str, known: Iterable[str], where: str = "in the recipe") -> str:
    """The next step for an unknown name: "Did you mean …?" with the nearest known names, or else the first few.

    where: all of them stand, where they are too many to tell, such as "in benchbell names wood".
    """
    names = sorted(known)
    if near := get_close_matches(name, names, n=3):
        return did_you_mean(near)
    if len(names) <= MOST_NAMES:
        return f"Use one of: {', '.join(names)}." if names else "Add it first: there is none yet."
    return f"Use one of: {', '.join(names[:MOST_NAMES])} …; all {len(names)} stand {where}."


def did_you_mean(near: Sequence[str]) -> str:
    """The names, nearest first, as a question: "Did you mean leg, legs or edge?"."""
    *others, last = near
    return f"Did you mean {', '.join(others)}{' or ' if others else ''}{last}?"


def counted(count: int, thing: str, things: str = "") -> str:
    """A count with its thing: "1 operation", "2 operations". things: the plural, where it is not thing and an s."""
    return f"{count:,} {thing if count == 1 else things or f'{thing}s'}"


def are(count: int) -> str:
    """The verb that follows a count of things."""
    return "is" if count == 1 else "are"

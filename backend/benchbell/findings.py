"""The findings of a checker, and the exceptions that a person's input can raise.

Every sentence to the maker has one order: the thing, its value, the value it needs, what to do.
"""

from typing import Literal

from msgspec import Struct

Grade = Literal["error", "warning"]


class Use(Struct, frozen=True):
    """Where a recipe uses a fragment. name: what it is used as. line: in `file`, from 1."""

    name: str
    file: str
    line: int


class Finding(Struct, frozen=True, omit_defaults=True):
    """One error or warning, and what to do about it.

    rule: the rule's name, such as "spread-too-long"; the same in every language.
    line: in the recipe's file, from 1; 0 when it is not about one line.
    what: one sentence, with the figures. next_step: one sentence, an order.
    used_by: for a finding in a fragment, who uses it; then who uses that, up to the recipe.
    """

    grade: Grade
    rule: str
    file: str
    line: int
    what: str
    next_step: str
    used_by: tuple[Use, ...] = ()

    def __str__(self) -> str:
        """`file:line: grade: what next_step (used as name at file:line)`, for a terminal."""
        used = "".join(f" (used as {use.name} at {use.file}:{use.line})" for use in self.used_by)
        return f"{self.file}:{self.line}: {self.grade}: {self.what} {self.next_step}{used}"


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

"""What a checker says, and the few exceptions a person's input can raise.

A sentence to the maker is built in one order: the thing, the value met, the value wanted, the order.
"""

from typing import Literal

from msgspec import Struct

Grade = Literal["error", "warning"]


class Finding(Struct, frozen=True):
    """One thing wrong, or worth knowing, and what to do about it.

    rule: the rule's name, such as "spread-too-long"; the same in every language.
    line: in the recipe's file, counted from 1; 0 when it is about no one line.
    what: one sentence, with the figures. next_step: one sentence, an order.
    """

    grade: Grade
    rule: str
    file: str
    line: int
    what: str
    next_step: str

    def __str__(self) -> str:
        """`file:line: grade: what next_step`, as a terminal shows it."""
        return f"{self.file}:{self.line}: {self.grade}: {self.what} {self.next_step}"


class Refused(ValueError):
    """Something cannot be done as asked. `what` tells why, `next_step` what to do instead."""

    def __init__(self, what: str, next_step: str) -> None:
        super().__init__(f"{what} {next_step}")
        self.what = what
        self.next_step = next_step


class OutsideValidity(Refused):
    """A figure was asked for outside the range in which its rule holds."""


class TooCold(Refused):
    """Glue or finish would not set: colder than its least temperature."""


class UnknownName(Refused):
    """A name that is in no table here: a species, a glue, a finish, a station."""

"""A subject of `reckon`, its answer, and the options and texts that subjects share."""

import argparse
from collections.abc import Callable
from typing import Any

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.recipe.dimensions import with_article
from benchbell.recipe.measure import ANGLE, LENGTH, NUMBER, TIME, Dim, read, show
from benchbell.trade.air import celsius_of
from benchbell.trade.tables import Grade

FIRST = "The label, the tool maker's manual and local codes come first."


class Answer(Struct, frozen=True):
    """An answer. figures: by name, which ends in the unit. lines: for a person. validity: the range of the rule."""

    figures: dict[str, Any]
    lines: tuple[str, ...]
    source: str
    validity: str


class Command(Struct, frozen=True):
    """One subject. about: its help text. arguments: adds its options. answer: gives the answer, or raises Refused."""

    name: str
    about: str
    arguments: Callable[[argparse.ArgumentParser], None]
    answer: Callable[[argparse.Namespace], Answer]


def figures(answer: Answer) -> dict[str, Any]:
    """An answer for JSON."""
    return {**answer.figures, "source": answer.source, "validity": answer.validity}


def failure(error: Refused) -> dict[str, str]:
    """A refusal for JSON."""
    return {"error": error.what, "next_step": error.next_step}


def sentences(answer: Answer) -> str:
    """An answer as text."""
    return "\n".join((*answer.lines, f"Source: {answer.source}", f"Holds: {answer.validity}"))


def cited(source: str, grade: Grade | None) -> str:
    """A source, with the grade of the figure when it was not read in that source."""
    return source.rstrip(".") + ("" if grade in ("source", None) else f" ({grade})")


def add_temperature(parser: argparse.ArgumentParser, what: str, usual: float | None = None) -> None:
    """Add the options --celsius and --fahrenheit, one of which is given. Both end in `celsius`.

    what: it is, for the help. usual: in °C, taken when neither is given; None: one of them must be.
    """
    either = parser.add_mutually_exclusive_group(required=usual is None)
    comparison = "" if usual is None else f"; {usual:g}"
    either.add_argument("--celsius", type=float, default=usual, help=f"{what}, °C{comparison}")
    either.add_argument(
        "--fahrenheit", type=fahrenheit, dest="celsius", metavar="FAHRENHEIT", default=usual, help="the same in °F"
    )


def fahrenheit(text: str) -> float:
    """Degrees Celsius of a number of degrees Fahrenheit. Raises ValueError when the text is no number."""
    return celsius_of(float(text))


def length(text: str, option: str) -> float:
    """A length in mm, zero or more. option: for the message. Raises Refused when the text is not such a length."""
    found = measured(text, option, LENGTH, "a length with its unit, such as 300 mm or 1 3/4 in")
    return not_negative(text, option, found)


def not_negative(text: str, option: str, value: float) -> float:
    """The value itself. Raises Refused when it is below zero."""
    if value < 0:
        raise Refused(f"{option} is “{text}”, which is below zero.", "Write it without a minus.")
    return value


def minutes(text: str, option: str) -> float:
    """A time in minutes, zero or more. Raises Refused when the text is not such a time."""
    return not_negative(text, option, measured(text, option, TIME, "a time with its unit, such as 6 min"))


def angle(text: str, option: str) -> float:
    """An angle in degrees; a number without a unit is in degrees. Raises Refused when the text is not an angle."""
    quantity = read(text)
    if quantity.dim == NUMBER:
        return quantity.value
    return measured(text, option, ANGLE, "an angle, such as 10 deg")


def measured(text: str, option: str, dim: Dim, expected: str) -> float:
    """A value in base units. expected: the kind in words. Raises Refused when the text has another kind or none."""
    quantity = read(text)
    if quantity.dim != dim:
        raise Refused(f"{option} is “{text}”, which is {with_article(quantity.dim)}.", f"Write {expected}.")
    return quantity.value


def mm(value: float) -> str:
    """Millimetres as text, in mm and in inches."""
    return f"{show(value, LENGTH, 'mm')} ({show(value, LENGTH, 'in')})"


def deg(value: float) -> str:
    """Degrees as text."""
    return show(value, ANGLE, "mm")


def time(value: float) -> str:
    """Minutes as text."""
    return show(value, TIME, "mm")

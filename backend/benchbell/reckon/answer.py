"""What a subject of `reckon` is, and how its answer is shown."""

import argparse
from collections.abc import Callable
from typing import Any

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.recipe.measure import ANGLE, LENGTH, NUMBER, TIME, Dim, read, show
from benchbell.trade.tables import Grade

FIRST = "The label, the tool maker's manual and local codes come first."


class Answer(Struct, frozen=True):
    """Figures by name, each name ending in its unit; lines for a person; where the rule is from and where it holds."""

    figures: dict[str, Any]
    lines: tuple[str, ...]
    source: str
    validity: str


class Command(Struct, frozen=True):
    """One subject of `reckon`: its name, what it is about, its arguments and its answer."""

    name: str
    about: str
    arguments: Callable[[argparse.ArgumentParser], None]
    answer: Callable[[argparse.Namespace], Answer]


def figures(answer: Answer) -> dict[str, Any]:
    """The answer as JSON has it."""
    return {**answer.figures, "source": answer.source, "validity": answer.validity}


def failure(error: Refused) -> dict[str, str]:
    """A refusal as JSON has it."""
    return {"error": error.what, "next_step": error.next_step}


def sentences(answer: Answer) -> str:
    """The answer as a person reads it."""
    return "\n".join((*answer.lines, f"Source: {answer.source}", f"Holds: {answer.validity}"))


def cited(source: str, grade: Grade | None) -> str:
    """A source, and how sure it is where it was not read there."""
    return source.rstrip(".") + ("" if grade in ("source", None) else f" ({grade})")


def length(text: str, option: str) -> float:
    """A length in mm. Raises Refused for text that is none."""
    return measured(text, option, LENGTH, "a length with its unit, such as 300 mm or 1 3/4 in")


def minutes(text: str, option: str) -> float:
    """A time in minutes. Raises Refused for text that is none."""
    return measured(text, option, TIME, "a time with its unit, such as 6 min")


def angle(text: str, option: str) -> float:
    """An angle in degrees; a bare number counts as degrees. Raises Refused for text that is none."""
    quantity = read(text)
    if quantity.dim == NUMBER:
        return quantity.value
    return measured(text, option, ANGLE, "an angle, such as 10 deg")


def measured(text: str, option: str, dim: Dim, wanted: str) -> float:
    """A value in base units. Raises Refused when it is of another kind."""
    quantity = read(text)
    if quantity.dim != dim:
        kind = quantity.dim.name
        article = "an" if kind[0] in "aeiou" else "a"
        raise Refused(f"{option} is “{text}”, which is {article} {kind}.", f"Write {wanted}.")
    return quantity.value


def mm(value: float) -> str:
    """A length for reading, in mm and in inches."""
    return f"{show(value, LENGTH, 'mm')} ({show(value, LENGTH, 'in', 64)})"


def deg(value: float) -> str:
    """An angle for reading."""
    return show(value, ANGLE, "mm")


def time(value: float) -> str:
    """A time for reading."""
    return show(value, TIME, "mm")

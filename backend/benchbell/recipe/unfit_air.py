"""Whether the air is too cold or too damp for what an operation glues or coats, and the sentence that says so."""

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from benchbell.recipe.sheet import Operation
from benchbell.trade.air import degrees
from benchbell.trade.figure_grid import FigureGrid, least_celsius
from benchbell.trade.finish import Finish, finish_named


class Air(Struct, frozen=True):
    """The air for which something is planned. humidity: percent, None where nobody took it. where: ends a sentence."""

    celsius: float
    humidity: float | None = None
    where: str = "in the shop"


class Unfit(Struct, frozen=True):
    """Why an operation is not done in some air: a sentence; what stands in place of its times; and what to do."""

    why: str
    instead: Literal["not at this temperature", "not in air so damp"]
    remedy: str


def unfit_air(op: Operation, figures: Mapping[str, FigureGrid], air: Air) -> Unfit | None:
    """Why an operation is not done in this air; None where it may be.

    Below a glue's least temperature no time in clamps proves anything, and in cold or damp air no time between coats,
    so none may be told as if it did. figures: those of the sheet.
    """
    finish = finish_named(op.finish) if op.finish else None
    least = finish.least_celsius if finish else least_celsius(figures[op.glue]) if op.glue in figures else None
    if least is not None and air.celsius < least:
        return too_cold(op, least, air)
    return too_damp(finish, air.humidity, air) if finish and air.humidity is not None else None


def too_cold(op: Operation, least: float, air: Air) -> Unfit:
    """The air is colder than the least of the operation's glue or finish, in °C."""
    needs = f"{op.glue or op.finish} needs at least {degrees(least)}"
    return Unfit(
        f"Not at this temperature: {degrees(air.celsius)} {air.where}, {needs}.",
        "not at this temperature",
        f"Warm the shop, the wood and the {'glue' if op.glue else 'finish'} first.",
    )


def too_damp(finish: Finish, humidity: float, air: Air) -> Unfit | None:
    """The air is damper than the finish allows; None where it is not."""
    if humidity <= finish.most_humidity_percent:
        return None
    needs = f"{finish.id} needs at most {finish.most_humidity_percent:g} %"
    return Unfit(
        f"Not in air so damp: {humidity:g} % relative humidity {air.where}, {needs}.",
        "not in air so damp",
        "Wait for drier air, or warm and dry the room first.",
    )

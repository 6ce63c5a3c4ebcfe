"""Finishes by class: when to wipe off, when the next coat may come, when it may be handled.

All figures are common practice; the container's label comes first.
"""

from functools import cache
from typing import Literal

from msgspec import Struct

from benchbell.findings import OutsideValidity, TooCold
from benchbell.trade.air import degrees, require_usual
from benchbell.trade.places import Place
from benchbell.trade.tables import Grade, named, read

# Common practice, no source: hardwax oil's 12 h become 24 h when cool or damp; the same is taken for all finishes.
COOL_BELOW_CELSIUS = 18
DAMP_ABOVE_PERCENT = 70
COOL_OR_DAMP_FACTOR = 2

WET_MINUTES = 120
"""While so long, dust spoils a coat that does not dry sooner. Common practice, no source."""


class Finish(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A class of finish. Minutes from putting on a coat (pot: from mixing); None when there is no such figure.

    base: what it is made with, which decides what may go over it. waxy: whether it has wax.
    good_for: the harshest place where it lasts.
    recoat_most_minutes: scuff before a later coat.
    oily_rags: whether its rags can catch fire by themselves.
    """

    id: str
    title: str
    also: tuple[str, ...] = ()
    base: Literal["oil", "water", "spirit"]
    waxy: bool = False
    good_for: Place
    wipe_from_minutes: float | None = None
    wipe_to_minutes: float | None = None
    wet_edge_minutes: float | None = None
    recoat_least_minutes: float | None = None
    recoat_most_minutes: float | None = None
    handle_minutes: float
    cure_minutes: float
    pot_minutes: float | None = None
    least_celsius: float
    most_humidity_percent: float
    oily_rags: bool
    cautions: tuple[str, ...]
    note: str
    grade: Grade
    source: str


@cache
def finishes() -> dict[str, Finish]:
    """All finishes by id."""
    return read("finishes", Finish)


def wet_minutes(finish: Finish) -> int:
    """Minutes from putting on a coat in which dust sticks to it: what may be rubbed down for the next one is dry."""
    return int(min(WET_MINUTES, finish.recoat_least_minutes or WET_MINUTES))


def finish_named(name: str) -> Finish:
    """The finish of that id. Raises UnknownName when there is none."""
    return named(finishes(), "finish", name)


def recoat_minutes(finish: Finish, celsius: float, humidity: float) -> float | None:
    """Least wait before the next coat in minutes, doubled when cool or damp; None for a finish of one coat.

    celsius: the coldest reading. humidity: the highest relative humidity in percent.
    Raises TooCold when the air is too cold for this finish, OutsideValidity when it is too damp or out of range.
    """
    require_dries(finish, celsius, humidity)
    if finish.recoat_least_minutes is None:
        return None
    return finish.recoat_least_minutes * slow_factor(celsius, humidity)


def handle_minutes(finish: Finish, celsius: float, humidity: float) -> float:
    """Least wait before it may be handled in minutes. Arguments as for recoat_minutes.

    Raises TooCold or OutsideValidity when recoat_minutes does.
    """
    require_dries(finish, celsius, humidity)
    return finish.handle_minutes * slow_factor(celsius, humidity)


def cure_minutes(finish: Finish, celsius: float, humidity: float) -> float:
    """Least wait until it is fully cured in minutes. Arguments as for recoat_minutes.

    Raises TooCold or OutsideValidity when recoat_minutes does.
    """
    require_dries(finish, celsius, humidity)
    return finish.cure_minutes * slow_factor(celsius, humidity)


def slow_factor(celsius: float, humidity: float) -> float:
    """The factor for a wait: 2 when cool or damp, otherwise 1. Warmth never shortens a wait."""
    slow = celsius < COOL_BELOW_CELSIUS or humidity > DAMP_ABOVE_PERCENT
    return COOL_OR_DAMP_FACTOR if slow else 1


def require_dries(finish: Finish, celsius: float, humidity: float) -> None:
    """Raises TooCold when the air is too cold for this finish, OutsideValidity when it is too damp or out of range."""
    require_usual(celsius, humidity)
    if celsius < finish.least_celsius:
        raise TooCold(
            f"{degrees(celsius)} is colder than {degrees(finish.least_celsius)}, the least for {finish.id}.",
            "Warm the room, the piece and the finish first.",
        )
    if humidity > finish.most_humidity_percent:
        raise OutsideValidity(
            f"{humidity:g} % relative humidity is above {finish.most_humidity_percent:g} %, the most for {finish.id}.",
            "Wait for drier air, or warm and dry the room first.",
        )

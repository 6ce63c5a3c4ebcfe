"""Rim speeds of cutters and usual speeds of router bits. The speed marked on the tool comes first."""

from functools import cache
from math import pi

from msgspec import Struct

from benchbell.findings import OutsideValidity
from benchbell.trade.tables import Grade, named, read

MM_PER_INCH = 25.4
SLACK_MM = 1e-6  # 88.9 mm is 3.5 in, though not to the last bit
FEET_PER_MINUTE = 196.85  # per m/s
ROUTER_BIT = "router bit"


class Cutter(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A kind of cutter and the usual speed of its rim; tables/cutters.toml explains every field."""

    id: str
    most_m_per_s: float
    least_m_per_s: float | None = None
    least_mm: float = 0
    grade: Grade
    source: str


class RouterBand(Struct, frozen=True, forbid_unknown_fields=True):
    """The usual greatest speed of bits up to a diameter."""

    id: str
    upto_in: float
    most_rpm: int
    grade: Grade
    source: str


class UsualSpeed(Struct, frozen=True):
    """How fast a cutter of some diameter usually turns, in rpm. least: None where slower only cuts worse.

    by_table: the most is the router table's own limit, which is below what the rim speed would allow.
    """

    least: float | None
    most: float
    by_table: bool = False


@cache
def cutters() -> dict[str, Cutter]:
    """All kinds of cutter by id."""
    return read("cutters", Cutter)


def cutter_named(name: str) -> Cutter:
    """The kind of cutter of that id. Raises UnknownName when there is none."""
    return named(cutters(), "kind of cutter", name)


def usual_rpm(cutter: Cutter, diameter_mm: float) -> UsualSpeed:
    """How fast a cutter of that diameter usually turns; of a router bit never more than the router table's limit.

    Raises OutsideValidity when the diameter is not above 0, or outside the usual range of its kind.
    """
    require_turns(diameter_mm, 1)
    if diameter_mm < cutter.least_mm:
        raise OutsideValidity(
            f"There is no usual speed for a {cutter.id} of {diameter_mm:g} mm: it begins at {cutter.least_mm:g} mm.",
            "Use the speed marked on the tool.",
        )
    return most_at(cutter, diameter_mm, cutter.most_m_per_s)


def most_at(cutter: Cutter, diameter_mm: float, m_per_s: float) -> UsualSpeed:
    """The turns at which a cutter's rim goes that fast; of a router bit at most the router table's limit.

    Raises OutsideValidity when the diameter or the speed is not above 0, or a router bit is beyond the table.
    """
    by_rim = rpm_for(diameter_mm, m_per_s)
    least = None if cutter.least_m_per_s is None else rpm_for(diameter_mm, cutter.least_m_per_s)
    if cutter.id != ROUTER_BIT:
        return UsualSpeed(least, by_rim)
    limit = router_band(diameter_mm).most_rpm
    return UsualSpeed(None, min(by_rim, limit), by_table=limit < by_rim)


def rim_speed_m_per_s(diameter_mm: float, rpm: float) -> float:
    """Speed of the rim in m/s. Raises OutsideValidity when the diameter or the speed is not above 0."""
    require_turns(diameter_mm, rpm)
    return pi * diameter_mm * rpm / 60_000


def rpm_for(diameter_mm: float, m_per_s: float) -> float:
    """Turns per minute for a rim speed. Raises OutsideValidity when the diameter or the speed is not above 0."""
    require_turns(diameter_mm, m_per_s)
    return 60_000 * m_per_s / (pi * diameter_mm)


def feet_per_minute(m_per_s: float) -> float:
    """A speed in feet per minute."""
    return m_per_s * FEET_PER_MINUTE


@cache
def router_bands() -> tuple[RouterBand, ...]:
    """The usual speeds of router bits, smallest bit first."""
    return tuple(read("router_speeds", RouterBand).values())


def router_band(diameter_mm: float) -> RouterBand:
    """The band of a bit of that diameter. Raises OutsideValidity when it is not above 0 or beyond the largest band."""
    require_turns(diameter_mm, 1)
    for band in router_bands():
        if diameter_mm <= band.upto_in * MM_PER_INCH + SLACK_MM:
            return band
    raise OutsideValidity(
        f"A bit of {diameter_mm:g} mm is larger than {router_bands()[-1].upto_in * MM_PER_INCH:g} mm, the usual limit.",
        "Use the speed marked on the bit, in a machine made for it.",
    )


def require_turns(diameter_mm: float, speed: float) -> None:
    """Raises OutsideValidity when a diameter or a speed is not above 0."""
    if not (diameter_mm > 0 and speed > 0):
        raise OutsideValidity(
            f"A cutter of {diameter_mm:g} mm at a speed of {speed:g} does not turn.", "Give both above zero."
        )

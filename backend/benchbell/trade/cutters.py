"""Rim speeds of cutters and usual speeds of router bits. The speed marked on the tool comes first."""

from functools import cache
from math import pi

from msgspec import Struct

from benchbell.findings import OutsideValidity
from benchbell.trade.tables import Grade, read

MM_PER_INCH = 25.4
FEET_PER_MINUTE = 196.85  # per m/s
# Circular saws in wood: usual 45 to 70 m/s. Common practice, no source.
SAW_RIM_M_PER_S = (45, 70)


class RouterBand(Struct, frozen=True, forbid_unknown_fields=True):
    """The usual greatest speed of bits up to a diameter."""

    id: str
    upto_in: float
    most_rpm: int
    grade: Grade
    source: str


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
        if diameter_mm <= band.upto_in * MM_PER_INCH:
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

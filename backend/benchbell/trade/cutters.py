"""How fast a cutter's rim goes, and how fast a router bit may turn. The speed marked on the tool comes first."""

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
    """Usual most speed for bits up to that diameter."""

    id: str
    upto_in: float
    most_rpm: int
    grade: Grade
    source: str


def rim_speed_m_per_s(diameter_mm: float, rpm: float) -> float:
    """Speed of the rim, in m/s. Raises OutsideValidity for what does not turn."""
    require_turns(diameter_mm, rpm)
    return pi * diameter_mm * rpm / 60_000


def rpm_for(diameter_mm: float, m_per_s: float) -> float:
    """Turns a minute at which the rim goes that fast."""
    require_turns(diameter_mm, m_per_s)
    return 60_000 * m_per_s / (pi * diameter_mm)


def feet_per_minute(m_per_s: float) -> float:
    """The same speed in feet a minute."""
    return m_per_s * FEET_PER_MINUTE


@cache
def router_bands() -> tuple[RouterBand, ...]:
    """The usual speeds of router bits, smallest bit first."""
    return tuple(read("router_speeds", RouterBand).values())


def router_band(diameter_mm: float) -> RouterBand:
    """The band a bit of that diameter falls in. Raises OutsideValidity beyond the largest."""
    require_turns(diameter_mm, 1)
    for band in router_bands():
        if diameter_mm <= band.upto_in * MM_PER_INCH:
            return band
    raise OutsideValidity(
        f"A bit of {diameter_mm:g} mm is larger than {router_bands()[-1].upto_in * MM_PER_INCH:g} mm, the usual most.",
        "Use the speed marked on the bit, in a machine made for it.",
    )


def require_turns(diameter_mm: float, speed: float) -> None:
    """Raise OutsideValidity for a diameter or a speed of zero or less."""
    if not (diameter_mm > 0 and speed > 0):
        raise OutsideValidity(
            f"A cutter of {diameter_mm:g} mm at a speed of {speed:g} does not turn.", "Give both above zero."
        )

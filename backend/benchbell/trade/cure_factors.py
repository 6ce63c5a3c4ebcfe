"""How cold, heat, damp and dry air change the time a glue takes to set.

A deadline's factor is never above 1 and a wait's factor never below 1, so that both stay on the safe side.
"""

from typing import Literal

SetsBy = Literal["water", "chemical", "cooling"]

# A chemical reaction goes twice as fast for every 10 °C: a trade rule ("18 °F", "10 °C"), common practice.
CELSIUS_PER_DOUBLING = 10
# Upper edges of relative humidity in percent, and what a wait is multiplied by there: glue that dries sets slower in
# damp air (mechanism: Wood Handbook, FPL-GTR-190, ch. 10; the steps are common practice, no source).
BANDS = (35, 60, 70, 80, 100)
DAMP_FACTORS = {35: 1.0, 60: 1.0, 70: 1.25, 80: 1.5, 100: 2.0}
# Hot or dry air shortens the open time of a glue that dries. Common practice, no source.
DRY_UPTO_PERCENT, HOT_ABOVE_CELSIUS, HOT_OR_DRY_FACTOR = 35, 27, 0.75
# "Twice the time in a cold shop", a magazine's rule; where the cold begins is common practice, no source.
COLD_BELOW_CELSIUS, COLD_FACTOR = 15, 2.0


def bands(sets_by: SetsBy) -> tuple[int, ...]:
    """Upper edges, in percent, of the bands of relative humidity that a way of setting distinguishes."""
    return (100,) if sets_by == "chemical" else BANDS


def band(sets_by: SetsBy, humidity: float) -> int:
    """The upper edge of the band that a relative humidity, 0 to 100 %, is in. An edge belongs to the band below it."""
    return next(edge for edge in bands(sets_by) if humidity <= edge)


def wait_factor(sets_by: SetsBy, at_celsius: float, celsius: float, humidity: float) -> float:
    """The factor for a wait, 1 or more. at_celsius: where the figure holds. humidity: relative, percent."""
    if sets_by == "chemical":
        return max(1.0, chemical_factor(at_celsius, celsius))
    return DAMP_FACTORS[band(sets_by, humidity)] * (COLD_FACTOR if celsius < COLD_BELOW_CELSIUS else 1.0)


def deadline_factor(sets_by: SetsBy, at_celsius: float, celsius: float, humidity: float) -> float:
    """The factor for a deadline, 1 or less. Arguments as for wait_factor."""
    if sets_by == "chemical":
        return min(1.0, chemical_factor(at_celsius, celsius))
    return HOT_OR_DRY_FACTOR if humidity <= DRY_UPTO_PERCENT or celsius > HOT_ABOVE_CELSIUS else 1.0


def chemical_factor(at_celsius: float, celsius: float) -> float:
    """The factor of a chemical reaction's time: 2 for every 10 °C below at_celsius, 1/2 for every 10 °C above."""
    return float(2 ** ((at_celsius - celsius) / CELSIUS_PER_DOUBLING))

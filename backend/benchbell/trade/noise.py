"""Noise dose over a working day, by 29 CFR 1910.95: a full dose is 8 hours at 90 dBA, half the time every 5 dB."""

from collections.abc import Iterable
from math import log10

from benchbell.findings import OutsideValidity

FULL_HOURS, FULL_DBA, DBA_PER_HALVING = 8, 90, 5
# The action-level dose counts from 80 dBA (from memory); the table ends at 115.
COUNTS_FROM_DBA, MOST_DBA = 80, 115
ACTION_DBA = 85


def allowed_hours(dba: float) -> float:
    """Hours per day at a level that are a full dose. Raises OutsideValidity when it is outside 80 to 115 dBA."""
    if not COUNTS_FROM_DBA <= dba <= MOST_DBA:
        raise OutsideValidity(
            f"{dba:g} dBA is outside {COUNTS_FROM_DBA} to {MOST_DBA} dBA, where the table holds.",
            "Above it, stop and find the cause; below it, the noise does not count.",
        )
    return float(FULL_HOURS / 2 ** ((dba - FULL_DBA) / DBA_PER_HALVING))


def dose_percent(spells: Iterable[tuple[float, float]]) -> float:
    """Dose of a day in percent of a full dose. spells: levels in dBA and hours at each; below 80 dBA does not count.

    Raises OutsideValidity when a level is above 115 dBA, hours are negative, or they are more than 24 in total.
    """
    day = list(spells)
    hours = [spell for _, spell in day]
    if not (sum(hours) <= 24 and all(spell >= 0 for spell in hours)):
        raise OutsideValidity(f"The hours are {sum(hours):g} in total, not 0 to 24.", "Give the hours of each spell.")
    return 100 * sum(spell / allowed_hours(dba) for dba, spell in day if not dba < COUNTS_FROM_DBA)


def day_level_dba(dose: float) -> float:
    """The steady level over 8 hours with this dose, in dBA (time-weighted average). dose: percent.

    Raises OutsideValidity when the dose is not above 0.
    """
    if not dose > 0:
        raise OutsideValidity(f"A dose of {dose:g} % has no level.", "Give the spells at 80 dBA and above.")
    return 16.61 * log10(dose / 100) + FULL_DBA

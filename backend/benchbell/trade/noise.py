"""Noise dose over a working day, by 29 CFR 1910.95: a full dose is 8 hours at 90 dBA, half the time every 5 dB."""

from collections.abc import Iterable
from math import log10

from benchbell.findings import OutsideValidity

FULL_HOURS, FULL_DBA, DBA_PER_HALVING = 8, 90, 5
# The action-level dose counts from 80 dBA (from memory); the table ends at 115.
COUNTS_FROM_DBA, MOST_DBA = 80, 115
ACTION_DBA = 85


def allowed_hours(dba: float) -> float:
    """Hours a day at that level that make a full dose. Raises OutsideValidity beyond 80 to 115 dBA."""
    if not COUNTS_FROM_DBA <= dba <= MOST_DBA:
        raise OutsideValidity(
            f"{dba:g} dBA is outside {COUNTS_FROM_DBA} to {MOST_DBA} dBA, where the table holds.",
            "Above it, stop and find the cause; below it, the noise does not count.",
        )
    return float(FULL_HOURS / 2 ** ((dba - FULL_DBA) / DBA_PER_HALVING))


def dose_percent(spells: Iterable[tuple[float, float]]) -> float:
    """Dose of a day in percent of a full one. spells: level in dBA and hours at it; below 80 dBA does not count.

    Raises OutsideValidity above 115 dBA or for a day of more than 24 hours.
    """
    day = list(spells)
    hours = [spell for _, spell in day]
    if not (sum(hours) <= 24 and all(spell >= 0 for spell in hours)):
        raise OutsideValidity(f"{sum(hours):g} hours are no day.", "Give each spell's hours, 24 at most together.")
    return 100 * sum(spell / allowed_hours(dba) for dba, spell in day if not dba < COUNTS_FROM_DBA)


def day_level_dba(dose: float) -> float:
    """The steady level over 8 hours that gives this dose, in dBA (time-weighted average). dose in percent, above 0."""
    if not dose > 0:
        raise OutsideValidity(f"A dose of {dose:g} % has no level.", "Give the spells at 80 dBA and above.")
    return 16.61 * log10(dose / 100) + FULL_DBA

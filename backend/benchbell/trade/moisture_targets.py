"""Target moisture contents, and how much parts of one glue-up may differ."""

from collections.abc import Sequence
from functools import cache

from msgspec import Struct

from benchbell.trade.tables import Grade, named, read

# Pieces glued into one member: at most 5 points apart (Wood Handbook, FPL-GTR-190, ch. 10); for furniture panels
# 2 points is the usual shop limit (common practice, no source).
MOST_SPREAD_PERCENT, PANEL_SPREAD_PERCENT = 5, 2


class Target(Struct, frozen=True, forbid_unknown_fields=True):
    """A target moisture content in percent, and the range for single boards."""

    id: str
    title: str
    aim_percent: float
    least_percent: float
    most_percent: float
    grade: Grade
    source: str


@cache
def targets() -> dict[str, Target]:
    """All targets by id."""
    return read("targets", Target)


def target_named(name: str) -> Target:
    """The target of that id. Raises UnknownName when there is none."""
    return named(targets(), "target", name)


def outside(target: Target, readings: Sequence[float]) -> tuple[float, ...]:
    """The meter readings in percent that are outside the target's range."""
    return tuple(reading for reading in readings if not target.least_percent <= reading <= target.most_percent)


def spread_percent(readings: Sequence[float]) -> float:
    """The greatest difference between readings, in percentage points."""
    return max(readings) - min(readings)

"""Bounds of a size that is measured: what comes after the measuring waits until the last value is within them.

Twin: pwa/src/recipe/bounds.ts.
"""

from benchbell.recipe.measure import Units, dim_named, show
from benchbell.recipe.sheet import Size

NOTICED = 0.001
"""A difference below this, in base units, is none."""


def has_bounds(size: Size) -> bool:
    """Whether it has any."""
    return size.least is not None or size.most is not None


def is_within(size: Size, value: float) -> bool:
    """Whether a value is within the bounds."""
    low = size.least is None or value >= size.least - NOTICED
    high = size.most is None or value <= size.most + NOTICED
    return low and high


def bounds_text(size: Size, units: Units) -> str:
    """The bounds in words: "at most 9 %"; "" without any."""
    dim = dim_named(size.dim)
    least = "" if size.least is None else f"at least {show(size.least, dim, units)}"
    most = "" if size.most is None else f"at most {show(size.most, dim, units)}"
    return ", ".join(text for text in (least, most) if text)

"""Blocks of wood in space, for tests of how parts lie: a post, and a rail that meets its right face."""

from benchbell.recipe.solids.layout import LaidPart
from benchbell.recipe.solids.solid import box, moved
from benchbell.recipe.solids.vectors import UNITS, bounds
from msgspec.structs import replace

POST = ((-20.0, -20.0, 0.0), (20.0, 20.0, 400.0), 2)
"""Its low and high corner, and the axis of its grain."""

RAIL = ((20.0, 0.0, 100.0), (320.0, 20.0, 160.0), 0)


def block(corners, by=(0.0, 0.0, 0.0), tenon=False, name="block"):
    """A part that is one box, moved."""
    low, high, grain = corners
    low, high = (tuple(a + b for a, b in zip(point, by, strict=True)) for point in (low, high))
    return laid((box(low, high, tenon),), grain, name)


def laid(solids, grain, name):
    """A part of some solids, with its grain along an axis."""
    low, high = bounds(point for one in solids for point in (one.low, one.high))
    wide, thick = (axis for axis in range(3) if axis != grain)
    section = (high[wide] - low[wide], high[thick] - low[thick])
    return LaidPart(name, name, solids, low, high, UNITS[grain], UNITS[wide], UNITS[thick], section)


def shifted(part, by):
    """The same part somewhere else."""
    solids = tuple(moved(one, lambda p: tuple(a + b for a, b in zip(p, by, strict=True))) for one in part.solids)
    low, high = bounds(point for one in solids for point in (one.low, one.high))
    return replace(part, solids=solids, low=low, high=high)

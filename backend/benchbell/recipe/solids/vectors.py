"""Arithmetic on points and directions in space."""

from collections.abc import Iterable, Sequence
from math import sqrt

Vec = tuple[float, float, float]

AXES = ("x", "y", "z")
UNITS: tuple[Vec, Vec, Vec] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def dot(a: Vec, b: Vec) -> float:
    """The dot product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec, b: Vec) -> Vec:
    """The cross product."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def minus(a: Vec, b: Vec) -> Vec:
    """From b to a."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def between(a: Vec, b: Vec, share: float) -> Vec:
    """The point at a share of the way from a to b."""
    return (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share, a[2] + (b[2] - a[2]) * share)


def scaled(a: Vec, by: float) -> Vec:
    """A vector `by` times as long."""
    return (a[0] * by, a[1] * by, a[2] * by)


def length(a: Vec) -> float:
    """How long a vector is."""
    return sqrt(dot(a, a))


def unit(a: Vec) -> Vec:
    """The direction of a vector, which must not be 0."""
    return scaled(a, 1 / length(a))


def across(way: Vec) -> tuple[Vec, Vec]:
    """Two directions square to a direction and to each other."""
    right = unit(cross(way, UNITS[0] if abs(way[0]) < 0.9 else UNITS[1]))
    return right, cross(way, right)


def bounds(points: Iterable[Vec]) -> tuple[Vec, Vec]:
    """The lowest and the highest coordinates of some points."""
    xs, ys, zs = zip(*points, strict=True)
    return (min(xs), min(ys), min(zs)), (max(xs), max(ys), max(zs))


def with_axis(point: Vec, axis: int, value: float) -> Vec:
    """The point with one coordinate replaced."""
    return vec([value if n == axis else old for n, old in enumerate(point)])


def vec(values: Sequence[float]) -> Vec:
    """Three numbers as a point."""
    x, y, z = values
    return (x, y, z)

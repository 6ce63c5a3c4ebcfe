"""What is taken off along an edge and leaves an inner corner or a hollow: rabbets and mouldings, in flat pieces.

A part with one is several convex solids side by side, cut where its outline turns inwards. An outline goes from one of
the two faces that meet at the edge to the other. Its points say how far from the edge it is on the first face's axis
and on the second's, as shares of what is taken off there.
"""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import cos, hypot, inf, pi, sin

from msgspec import Struct

from benchbell.recipe.placing import EdgeShape
from benchbell.recipe.solids.solid import EXACT, Solid, cut
from benchbell.recipe.solids.vectors import Vec, scaled, vec

QUARTER = 4
"""Flat pieces that a quarter of a round is drawn in: of a cove or ovolo of 12 mm they lie 0.23 mm off at most."""

Outline = tuple[tuple[float, float], ...]

_turns = [pi / 2 * n / QUARTER for n in range(QUARTER + 1)]
_hollow: Outline = tuple((sin(turn), cos(turn)) for turn in _turns)
_belly: Outline = tuple((1 - cos(turn), 1 - sin(turn)) for turn in _turns)

OUTLINES: Mapping[EdgeShape, Outline] = {
    "rabbet": ((0, 1), (1, 1), (1, 0)),
    "cove": _hollow,
    "ovolo": _belly,
    "ogee": (*((x / 2, (1 + y) / 2) for x, y in _belly), *((x / 2 + 0.5, y / 2) for x, y in _hollow[1:])),
}
"""By shape, its outline. A cove is a quarter of a hollow about the edge, an ovolo a quarter of a round, an ogee an
ovolo and a cove, each over half of both ways. A flat shape is taken off by one plane, see shapes.py."""


class Profile(Struct, frozen=True):
    """What is taken off along an edge. axes: of the two faces that meet there. sides: 1 for the higher face, else -1.

    at: where the faces lie. far: how far it goes on both axes, in mm.
    """

    shape: EdgeShape
    axes: tuple[int, int]
    sides: tuple[int, int]
    at: tuple[float, float]
    far: tuple[float, float]

    def keeps(self, first: float, second: float, most: float) -> tuple[Vec, float]:
        """The half of space in which `first` times the way in from one face and `second` times that from the other add
        up to no more than `most`: its normal and offset.
        """
        normal, offset = [0.0, 0.0, 0.0], most
        for times, axis, side, face in zip((first, second), self.axes, self.sides, self.at, strict=True):
            normal[axis] = -times * side
            offset -= times * side * face
        size = hypot(first, second)
        return scaled(vec(normal), 1 / size), offset / size


def taken_share(shape: EdgeShape) -> float:
    """Which share of the rectangle about the edge lies inside the outline."""
    return sum((u2 - u) * (v + v2) / 2 for (u, v), (u2, v2) in pairwise(OUTLINES[shape]))


def without_profile(solids: Sequence[Solid], profile: Profile) -> list[Solid]:
    """What of solids is left, in convex pieces side by side."""
    found = []
    for planes in pieces_of(profile):
        for solid in solids:
            rest: Solid | None = solid
            for normal, offset in planes:
                rest = cut(rest, normal, offset) if rest else None
            found += [rest] if rest else []
    return found


def pieces_of(profile: Profile) -> list[list[tuple[Vec, float]]]:
    """For each convex piece of what is left, the half spaces that it lies in.

    The outline is seen as a height over the way in from the first face; where it falls or bends down, a piece ends.
    """
    far_u, far_v = profile.far
    points = [(u * far_u, v * far_v) for u, v in OUTLINES[profile.shape]]
    pieces: list[list[tuple[Vec, float]]] = [[]]
    height, slope = far_v, -inf
    for (u, v), (u2, v2) in [*pairwise(points), ((far_u, 0.0), (inf, 0.0))]:
        if u2 == u:
            continue
        new_slope = (v2 - v) / (u2 - u)
        if v < height - EXACT or new_slope < slope:
            pieces[-1].append(profile.keeps(1.0, 0.0, u))
            pieces.append([profile.keeps(-1.0, 0.0, -u)])
        if v > 0:
            pieces[-1].append(profile.keeps(new_slope, -1.0, new_slope * u - v))
        height, slope = v2, new_slope
    return pieces

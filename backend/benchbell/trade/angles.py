"""Angles at the saw: splayed boxes, tapers, leaning legs. All angles in degrees; exact geometry, no table."""

from math import asin, atan, cos, degrees, hypot, radians, sin, tan

from msgspec import Struct

from benchbell.findings import OutsideValidity

MOST_SIDES = 360


class Splay(Struct, frozen=True):
    """Saw settings for a box of equal leaning sides, in degrees.

    swing: of the crosscut, from square (a saw whose square stop reads 90 shows 90 minus swing). mitre_tilt, butt_tilt:
    of the blade from upright; butt_tilt is negative only for three sides. dihedral: between the inside faces.
    """

    swing: float
    mitre_tilt: float
    butt_tilt: float
    dihedral: float


class LeaningLeg(Struct, frozen=True):
    """A leg splayed in two directions. lean: from vertical; sight_line: its direction, from the front view; degrees.

    length_mm: along the leg. front_mm, side_mm: how far out the foot stands from below the top.
    """

    lean: float
    sight_line: float
    length_mm: float
    front_mm: float
    side_mm: float


def other_way(angle: float) -> float:
    """A lean from the vertical for a slope from the horizontal, and the reverse; degrees."""
    return 90 - angle


def splay(sides: int, slope: float) -> Splay:
    """Settings for a box of equal sides. slope: of the sides from the horizontal, degrees; 90 is upright.

    Raises OutsideValidity when there are not 3 to 360 sides, or the slope is not above 0 and at most 90.
    """
    if not 3 <= sides <= MOST_SIDES:
        raise OutsideValidity(f"A box cannot have {sides} sides.", f"Give 3 to {MOST_SIDES} sides.")
    if not 0 < slope <= 90:
        raise OutsideValidity(
            f"A slope of {slope:g} degrees from the horizontal is outside 0 to 90.",
            "Measure it from the bench top: 90 is upright.",
        )
    beta, half = radians(slope), radians(180 / sides)
    swing = atan(cos(beta) * tan(half))
    mitre = asin(sin(beta) * sin(half))
    butt = asin(min(1.0, sin(beta) ** 2 * cos(2 * half) + cos(beta) ** 2))
    return Splay(degrees(swing), degrees(mitre), degrees(butt), 90 + degrees(butt))


def taper(offset: float, length: float) -> float:
    """Angle of a taper on one face, in degrees. offset: at the end of length, both in the same unit.

    Raises OutsideValidity when length is not above 0 or offset is negative.
    """
    if not (length > 0 and offset >= 0):
        raise OutsideValidity(
            f"A taper of {offset:g} over {length:g} is not a taper.",
            "Give a length above zero and an offset of zero or more.",
        )
    return degrees(atan(offset / length))


def leaning_leg(height_mm: float, front: float, side: float) -> LeaningLeg:
    """A leg that leans `front` degrees from vertical seen from the front, and `side` degrees seen from the side.

    Raises OutsideValidity when a lean is beyond -60 to 60 degrees or the height is not above 0.
    """
    for lean in (front, side):
        require_lean(lean, 60)
    if not height_mm > 0:
        raise OutsideValidity(
            f"The leg's height is {height_mm:g} mm, not above 0.", "Give the height from the floor to the leg's top."
        )
    a, b = tan(radians(front)), tan(radians(side))
    lean = atan(hypot(a, b))
    sight = degrees(atan(b / a)) if a else (90.0 if b else 0.0)
    return LeaningLeg(degrees(lean), sight, height_mm / cos(lean), height_mm * a, height_mm * b)


def slant_height(height: float, lean: float) -> float:
    """Width of a leaning side, in the unit of height. lean: from vertical, degrees.

    Raises OutsideValidity when the lean is beyond -85 to 85 degrees.
    """
    require_lean(lean, 85)
    return height / cos(radians(lean))


def require_lean(lean: float, most: float) -> None:
    """Raises OutsideValidity when a lean from vertical is beyond -most to most degrees."""
    if not -most <= lean <= most:
        raise OutsideValidity(
            f"A lean of {lean:g} degrees from the vertical is outside {-most} to {most}.",
            "Measure it from the vertical, where 0 is upright; a slope from the horizontal is 90 less that.",
        )

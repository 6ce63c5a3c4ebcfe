"""Rabbets that are drawn: the room they take off along an edge, and how far what lies in one goes into the wood."""

from collections.abc import Sequence

from msgspec import Struct

from benchbell.recipe.solids.contacts import JOINT_MM, TOUCH_MM, Contact
from benchbell.recipe.solids.layout import LaidPart
from benchbell.recipe.solids.shapes import Rabbet

LIES_ALONG = 0.6
"""What goes along less of a rabbet than this share only crosses it."""


class Excess(Struct, frozen=True):
    """How far a part goes beyond the rabbet that it lies in, in mm."""

    part: int
    host: int
    mm: float


def excesses(parts: Sequence[LaidPart], found: Sequence[Contact]) -> list[Excess]:
    """What lies in a rabbet and goes into the wood behind it.

    Left out is what has a rabbet itself, which may fit over the other, and what goes right through the part.
    """
    return [
        Excess(one, host, mm)
        for contact in found
        if contact.rooms
        for one, host in ((contact.a, contact.b), (contact.b, contact.a))
        if not parts[one].rabbets and not any(solid.tenon for solid in parts[one].solids)
        if (mm := max((beyond(parts[one], parts[host], rabbet) for rabbet in parts[host].rabbets), default=0.0))
    ]


def beyond(part: LaidPart, host: LaidPart, rabbet: Rabbet) -> float:
    """How far a part that lies in a rabbet goes into the wood behind it, square to its own thickness; 0 where it fits,
    or lies elsewhere.
    """
    thick = max(range(3), key=lambda n: abs(part.thick[n]))
    if thick not in rabbet.axes or max(abs(n) for n in part.thick) < 1 - 1e-9:
        return 0.0
    own, other = rabbet.axes.index(thick), 1 - rabbet.axes.index(thick)
    into, run = rabbet.axes[other], 3 - sum(rabbet.axes)
    on_floor = inner(part, thick, rabbet.sides[own]) * rabbet.sides[own] >= rabbet.floor(own) - TOUCH_MM
    in_room = all(min(part.high[n], rabbet.high[n]) - max(part.low[n], rabbet.low[n]) > JOINT_MM for n in range(3))
    long = min(part.high[run], rabbet.high[run]) - max(part.low[run], rabbet.low[run])
    if not (on_floor and in_room) or long < LIES_ALONG * (rabbet.high[run] - rabbet.low[run]):
        return 0.0
    mm = rabbet.floor(other) - inner(part, into, rabbet.sides[other]) * rabbet.sides[other]
    wood = rabbet.floor(other) - inner(host, into, rabbet.sides[other]) * rabbet.sides[other]
    comes_from_outside = outer(part, into, rabbet.sides[other]) * rabbet.sides[other] > rabbet.floor(other)
    return mm if comes_from_outside and JOINT_MM < mm < wood - JOINT_MM else 0.0


def inner(part: LaidPart, axis: int, side: int) -> float:
    """Where a part's face lies that looks away from a side: 1 for the higher one, -1 for the lower."""
    return (part.low if side > 0 else part.high)[axis]


def outer(part: LaidPart, axis: int, side: int) -> float:
    """Where a part's face lies that looks to a side."""
    return inner(part, axis, -side)

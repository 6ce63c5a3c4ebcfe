"""What the log says of how long operations took, and which of it says anything about the pace of work."""

from collections.abc import Iterable

from msgspec import Struct

from benchbell.recipe.sheet import Operation

BELIEVED = 6.0
"""Times real over planned, or planned over real, beyond which a button was pressed late, or two at once."""


class Timing(Struct, frozen=True):
    """One operation that was timed. kind: as `kind_of` has it. person: who did it, "" where nobody knows.

    planned, real: attended minutes without setting up.
    """

    build: str
    kind: str
    person: str
    planned: float
    real: float


def kind_of(operation: Operation, act: str = "work") -> str:
    """The kind of work that has a pace of its own: gluing up, a dry fit, a coat, what is done at a station; or an act
    other than the work itself.
    """
    if act != "work":
        return act
    return operation.station if operation.step == "work" else operation.step


def believed(timings: Iterable[Timing]) -> list[Timing]:
    """The timings that tell of work, and not of a button."""
    return [one for one in timings if one.planned > 0 and 1 / BELIEVED < one.real / one.planned < BELIEVED]

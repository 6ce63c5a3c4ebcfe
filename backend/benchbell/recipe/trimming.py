"""Parts that are cut larger, or fewer, than they are in the finished piece: boards of a top, lips, buttons."""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.recipe.formula import evaluate
from benchbell.recipe.placing import Placing
from benchbell.recipe.sheet import Part

SAME_MM = 0.05
"""Sizes that differ by less are the same at the bench: lengths are shown to 0.1 mm."""


class Trimmed(Struct, frozen=True):
    """What becomes of the copies of a part in one piece: how many, and how large, in mm."""

    count: int
    mm: tuple[float, ...]


def trimmed_of(parts: Sequence[Part], placings: Sequence[Placing], plan: Mapping[str, float]) -> Trimmed | None:
    """What these copies of one part become; None where they stay as they are cut, or do not say how they lie.

    A size told in another order is the same: round glass, say, lies as a short cylinder does. parts: of one piece.
    plan: the planned values of named sizes.
    """
    names = {part.name for part in parts}
    placing = next((one for one in placings if {one.part, f"{one.part}-1"} & names), None)
    if placing is None or not placing.size:
        return None
    try:
        mm = tuple(evaluate(formula, plan) for formula in placing.size)
    except Refused:
        return None  # another finding says what is wrong
    cut, left = sorted(parts[0].plan_mm), sorted(mm)
    same = len(left) == len(cut) and all(abs(one - other) < SAME_MM for one, other in zip(left, cut, strict=True))
    return None if same and placing.count == len(parts) else Trimmed(placing.count, mm)

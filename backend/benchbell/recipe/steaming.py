"""Steam bending in a recipe: how thick and how sharp, the clock of the steam box, and what bends the parts after it."""

from collections.abc import Collection, Iterator, Mapping, Sequence, Set

from msgspec import Struct
from msgspec.structs import replace

from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.holds import Contents, all_inside
from benchbell.recipe.measure import LENGTH
from benchbell.recipe.named_sizes import FormulaScope, checked_formula, positive_value
from benchbell.recipe.pieces import copy_names
from benchbell.recipe.sheet import ClockSpec, Operation, Part
from benchbell.recipe.times import ms
from benchbell.recipe.written import OperationText, Recipe
from benchbell.trade.bending import OVER_STEAMED, steam_minutes

HOT = "hot-steam"
"""The caution for steam, and for wood that comes out of it."""

CHECKS = (
    "Rehearsed cold, clamps open: from the box onto the form in half a minute, never more than one.",
    "A trial piece bent: it springs back when it comes off, so the form is made that much sharper.",
)
"""What to look at before steamed wood comes out. Common practice, no source."""


class Steaming(Struct, frozen=True):
    """What is steamed, in mm. radius_mm: of the sharpest bend, or None when that is not known."""

    thickness_mm: float
    radius_mm: float | None
    strap: bool
    dried: str


def steaming_of(
    written: OperationText, row: int, parts: Sequence[Part], recipe: Recipe, scope: FormulaScope, findings: FindingList
) -> Steaming | None:
    """What an operation steams; None when it steams nothing, or a size of it is missing, with a finding."""
    steam, path, about = written.steam, ("operation", row, "steam"), f"Operation {written.id}: steam"
    if steam is None:
        return None
    radius = positive_value(steam.radius, scope, (*path, "radius"), f"{about}, radius", findings, LENGTH)
    thickness = positive_value(steam.thickness, scope, (*path, "thickness"), f"{about}, thickness", findings, LENGTH)
    if not steam.radius:
        names = {part.name for part in parts}
        radius = min(bow_radii(recipe, names, scope), default=None)
    if not steam.thickness:
        thickness = max((part.plan_mm[2] for part in parts if len(part.plan_mm) == 3), default=None)
    missing = [] if steam.radius or radius else ["radius"]
    missing += [] if steam.thickness or thickness else ["thickness"]
    for key in missing:
        otherwise = "no bow" if key == "radius" else "no thickness"
        what = f"{about} has no {key}, and its parts have {otherwise}."
        findings.error("missing-size", path, what, f'Add {key} = "…" to steam.')
    return Steaming(thickness, radius, steam.strap, steam.dried) if thickness and not missing else None


def bow_radii(recipe: Recipe, names: Set[str], scope: FormulaScope) -> Iterator[float]:
    """The inside radii in mm of those parts of these names that lie bent. Wrong formulas are found elsewhere."""
    unseen = FindingList("")
    for written in recipe.part:
        if written.lies is None or not written.lies.bow or names.isdisjoint(copy_names(written)):
            continue
        length, rise = (
            checked_formula(text, scope, (), "", unseen, LENGTH)
            for text in ((written.lies.size or written.size)[0], written.lies.bow)
        )
        if length and rise and rise.plan:
            yield inside_radius_mm(length.plan, abs(rise.plan))


def inside_radius_mm(length_mm: float, rise_mm: float) -> float:
    """The radius of an arc that rises by so much over its chord: half the chord squared, and the rise squared, over
    twice the rise.
    """
    return ((length_mm / 2) ** 2 + rise_mm**2) / (2 * rise_mm)


def steam_clocks(steaming: Steaming) -> tuple[ClockSpec, ...]:
    """The time in the box, from when it is full of steam; over half as long again it spoils the wood."""
    least = steam_minutes(steaming.thickness_mm, steaming.dried == "kiln")
    source = "steamed by its thickness: an hour for 25 mm or 1 in, common practice"
    if steaming.dried == "kiln":
        source = "steamed by its thickness: 30 min/cm, Wood Handbook, FPL-GTR-190, ch. 19, from memory"
    return (ClockSpec("rest", "finished", (), ms(least), ms(least * OVER_STEAMED), source),)


def bends(
    operations: Sequence[Operation], steams: Collection[str], contents: Contents
) -> dict[str, dict[str, str | None]]:
    """By id of an operation that steams, and by part of it, the id of the next one on that part, which bends it.

    operations: in order. steams: the ids of those that steam.
    """
    found: dict[str, dict[str, str | None]] = {}
    for number, op in enumerate(operations):
        if op.id in steams:
            later = [(one.id, all_inside(one.parts, contents)) for one in operations[number + 1 :]]
            found[op.id] = {part: next((id for id, inside in later if part in inside), None) for part in op.parts}
    return found


def with_steam(operations: Sequence[Operation], bent: Mapping[str, Mapping[str, str | None]]) -> list[Operation]:
    """The operations, those that bend hot wood with the caution for it. bent: as `bends` gives it."""
    hot = {bend for by_part in bent.values() for bend in by_part.values()}
    return [
        replace(op, cautions=tuple(dict.fromkeys((*op.cautions, HOT)))) if op.id in hot else op for op in operations
    ]

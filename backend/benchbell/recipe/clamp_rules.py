"""The trade's rules for clamps: no more than the shop has, no fewer than a glue line wants."""

from collections.abc import Iterator
from math import ceil

from benchbell.findings import Refused
from benchbell.recipe.clamping import Joint, joints_of
from benchbell.recipe.holds import within
from benchbell.recipe.measure import LENGTH, Units, show
from benchbell.recipe.rule_context import Case
from benchbell.recipe.sheet import Operation, Part
from benchbell.trade.clamps import clamp_named, pressure_n_per_mm2, spacing_mm
from benchbell.trade.species import Species, density_kg_per_m3, species_named

NEWTONS_PER_LBF = 4.4482216152605

CONTACT_PRESSURE = ("epoxy-fast", "epoxy-slow", "contact", "cyanoacrylate")
"""Glues that want their faces touching and no more. Wood Handbook, FPL-GTR-190, Table 10-3 for epoxy; the others
are common practice, no source."""


def clamps_enough(case: Case) -> None:
    """A glue-up takes no more clamps than the shop has, once they are counted."""
    for op in case.first if case.shop.clamps else ():
        for kind, count in op.clamps.items():
            have = case.shop.clamps.get(kind, 0)
            if count > have:
                case.warn(
                    "too-few-clamps",
                    op,
                    f"takes {count} {kind} clamps, the shop has {have}.",
                    "Split the glue-up, use another kind, or count the clamps again.",
                    "glue",
                )


def clamps_usual(case: Case) -> None:
    """Clamps enough to press and to cover each glue line that nothing else closes: common practice.

    Joints of one row lie one behind the other between the same clamps. Their force is taken at the high end of what
    a hand tightens them to, so that only what cannot be enough is said.
    """
    for op in case.first:
        if not op.clamps:
            continue
        for joint in joints_of(case.written(op), case.rows[op.name], case.names, case.notes):
            if joint.length_mm is None:
                continue
            wants = max((by_force(op, joint, case), by_spacing(op, joint, case)), key=lambda want: want[0])
            count = sum(op.clamps.values())
            if count < wants[0]:
                case.warn(
                    "few-clamps",
                    op,
                    f"has {count} of the {wants[0]} clamps usual for a glue line of "
                    f"{show(joint.length_mm, LENGTH, case.sheet.units)}: {wants[1]}.",
                    "Add clamps, put a stiffer caul under them, or glue it in two goes.",
                    "glue",
                )


def by_force(op: Operation, joint: Joint, case: Case) -> tuple[int, str]:
    """Clamps for the pressure that wood wants, and why."""
    wood = heaviest_wood(parts_in(op, case))
    if wood is None or op.glue in CONTACT_PRESSURE:
        return 0, ""
    pressure = pressure_n_per_mm2(wood)
    force, each = pressure * joint.area_mm2, max(clamp_named(kind).most_n for kind in op.clamps)
    told = [force_told(newtons, case.sheet.units) for newtons in (force, each)]
    return ceil(force / each), f"{told[0]} on {wood.id}, at most {told[1]} each"


def force_told(newtons: float, units: Units) -> str:
    """A force as a sentence has it."""
    return f"{newtons / NEWTONS_PER_LBF:,.0f} lbf" if units == "in" else f"{newtons / 1000:.1f} kN"


def by_spacing(op: Operation, joint: Joint, case: Case) -> tuple[int, str]:
    """Clamps so near each other that their pressure meets at the glue line, and why."""
    widths = [part.plan_mm[1] for part in parts_in(op, case) if len(part.plan_mm) > 1]
    depth = joint.depth_mm if joint.depth_mm is not None else min(widths, default=0.0)
    apart = spacing_mm(max(clamp_named(kind).head_mm for kind in op.clamps), depth)
    wants = ceil((joint.length_mm or 0) / apart)
    return wants, f"at most {show(apart, LENGTH, case.sheet.units)} apart"


def parts_in(op: Operation, case: Case) -> list[Part]:
    """The parts in an operation, those inside assemblies too."""
    touched = within(op.parts, case.inside)
    return [part for part in case.sheet.parts if part.id in touched]


def heaviest_wood(parts: list[Part]) -> Species | None:
    """The wood that wants the most pressure; None where no stock's name is a wood's."""
    return max(woods(parts), key=density_kg_per_m3, default=None)


def woods(parts: list[Part]) -> Iterator[Species]:
    """The woods that parts are made of, as far as their stock is a wood of known weight."""
    for part in parts:
        try:
            wood = species_named(part.stock)
            density_kg_per_m3(wood)
        except Refused:
            continue
        yield wood

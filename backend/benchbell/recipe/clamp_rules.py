"""Rules for clamps: no more than the shop has, no fewer than are usual for a glue line."""

import re
from collections.abc import Callable, Iterator
from math import ceil, floor, log10

from benchbell.findings import Refused, counted
from benchbell.recipe.clamping import Joint, joints_of
from benchbell.recipe.holds import all_inside
from benchbell.recipe.measure import LENGTH, TOLERANCE, Units, show
from benchbell.recipe.rule_context import RuleContext, text_of
from benchbell.recipe.sheet import Operation, Part
from benchbell.trade.clamps import NEWTONS_PER_LBF, clamp_named, pressure_n_per_mm2, spacing_mm
from benchbell.trade.species import Species, density_kg_per_m3, species_named

CONTACT_PRESSURE = ("epoxy-fast", "epoxy-slow", "contact", "cyanoacrylate")
"""Glues that need contact pressure only. Wood Handbook, FPL-GTR-190, Table 10-3 for epoxy; common practice, no source,
for the others."""


def clamps_enough(context: RuleContext) -> None:
    """Rule: a glue-up takes no more clamps than the shop has. Without counted clamps the rule finds nothing."""
    for op in context.first_piece if context.shop.clamps else ():
        for kind, count in op.clamps.items():
            have = context.shop.clamps.get(kind, 0)
            if count > have:
                context.warn(
                    "too-few-clamps",
                    op,
                    f"takes {counted(count, f'{kind} clamp')}, the shop has {have}.",
                    "Split the glue-up, use another kind, or count the clamps again.",
                    "glue",
                )


def clamps_usual(context: RuleContext) -> None:
    """Rule: a glue-up has as many clamps as are usual to press and to cover each glue line that only clamps close.

    Joints of one row lie behind each other between the same clamps. The clamps count with the greatest force a hand
    tightens them to, so that only too few clamps in any case give a warning. Common practice, no source. Veneer has a
    rule of its own.
    """
    for op in context.first_piece:
        if not op.clamps or op.id in context.veneering:
            continue
        for joint in joints_of(context.written(op), context.rows[op.name], context.scope, context.findings):
            if joint.length_mm is None:
                continue
            needed, reason = max(by_force(op, joint, context), by_spacing(op, joint, context), key=lambda one: one[0])
            count = sum(op.clamps.values())
            if count < needed:
                context.warn(
                    "few-clamps",
                    op,
                    f"has {count} of the {needed} clamps usual for a glue line of "
                    f"{show(joint.length_mm, LENGTH, context.sheet.units)}: {reason}.",
                    "Add clamps, put a stiffer caul under them, or split the glue-up in two.",
                    "glue",
                )


HELD = re.compile(
    r"\b(?:bands?|brads?|cauls?|clamp(?:s|ed|ing)?|cords?|cramp(?:s|ed)?|dowel(?:s|led)?|drawbor(?:e|ed|ing)|"
    r"hammer(?:s|ed)?|knock(?:s|ed)?|nail(?:s|ed)?|peg(?:s|ged)?|pin(?:s|ned)?|press(?:es|ed)?|ropes?|rub(?:s|bed|ber)?|"
    r"screw(?:s|ed)?|springs?|staples?|straps?|string|tap(?:s|ped|es?|ed)?|weigh(?:t|ts|ted)|wedg(?:e|es|ed|ing))\b",
    re.IGNORECASE,
)
"""Words that say how a joint is held until its glue has set. Common practice, no source."""


def held_by_something(context: RuleContext) -> None:
    """Rule: a glue-up with glue lines that only clamps close names its clamps, or says what holds it instead."""
    for op in context.first_piece:
        pressed = op.clamps or op.fixtures or op.station == "press" or op.id in context.veneering
        if pressed or not op.glue or op.glue in CONTACT_PRESSURE:
            continue
        joints = joints_of(context.written(op), context.rows[op.name], context.scope, context.findings)
        lines = [joint.length_mm for joint in joints if joint.length_mm is not None]
        if lines and not HELD.search(text_of(op)):
            what = f"names no clamps for a glue line of {show(max(lines), LENGTH, context.sheet.units)}."
            next_step = "Name its clamps, or say in do what holds it: band, tape, rub joint, pins, wedges."
            context.warn("few-clamps", op, what, next_step, "glue")


def by_force(op: Operation, joint: Joint, context: RuleContext) -> tuple[int, str]:
    """How many clamps the usual pressure for the wood needs, and the reason in words."""
    wood = heaviest_wood(parts_in(op, context))
    if wood is None or op.glue in CONTACT_PRESSURE:
        return 0, ""
    pressure = pressure_n_per_mm2(wood)
    force, each = pressure * joint.area_mm2, max(clamp_named(kind).most_n for kind in op.clamps)
    total, most = force_text(force, context.sheet.units), force_text(each, context.sheet.units, floor)
    return ceil(force / each), f"{total} on {wood.id}, at most {most} each"


def force_text(newtons: float, units: Units, to: Callable[[float], int] = ceil) -> str:
    """A force as text, in lbf or kN, to two significant figures: nobody's hand or table knows it closer.

    to: up for a force that is needed, down (floor) for one that is at hand, so that what is said is on the safe side.
    """
    force = newtons / NEWTONS_PER_LBF if units == "in" else newtons / 1000
    unit = 10.0 ** (floor(log10(force) + TOLERANCE) - 1) if force > 0 else 1.0
    steps = force / unit
    said = unit * (round(steps) if abs(steps - round(steps)) < TOLERANCE else to(steps))
    places = 0 if said >= 10 else 1 if said >= 1 else 2
    return f"{said:,.{places}f} {'lbf' if units == 'in' else 'kN'}"


def by_spacing(op: Operation, joint: Joint, context: RuleContext) -> tuple[int, str]:
    """How many clamps stand so close that their pressure meets at the glue line, and the reason in words."""
    widths = [part.plan_mm[1] for part in parts_in(op, context) if len(part.plan_mm) > 1]
    depth = joint.depth_mm if joint.depth_mm is not None else min(widths, default=0.0)
    apart = spacing_mm(max(clamp_named(kind).head_mm for kind in op.clamps), depth)
    needed = ceil((joint.length_mm or 0) / apart)
    return needed, f"at most {show(apart, LENGTH, context.sheet.units)} apart"


def parts_in(op: Operation, context: RuleContext) -> list[Part]:
    """The parts of an operation, those inside its assemblies included."""
    ids = all_inside(op.parts, context.contents)
    return [part for part in context.sheet.parts if part.id in ids]


def heaviest_wood(parts: list[Part]) -> Species | None:
    """The densest wood, which needs the most pressure; None when no stock is a wood of known density."""
    return max(woods(parts), key=density_kg_per_m3, default=None)


def woods(parts: list[Part]) -> Iterator[Species]:
    """The woods of parts, for each stock that is a wood of known density."""
    for part in parts:
        try:
            wood = species_named(part.stock)
            density_kg_per_m3(wood)
        except Refused:
            continue
        yield wood

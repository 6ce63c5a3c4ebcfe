"""Rules for strips and slices, which are thinner than the board that they are sawn from."""

import re

from benchbell.recipe.measure import LENGTH, show
from benchbell.recipe.rule_context import RuleContext
from benchbell.recipe.sheet import MEASURES, Operation
from benchbell.recipe.size_rules import at_hand, one_of_each
from benchbell.recipe.small_parts import is_held
from benchbell.trade.stations import station_named

PLANED_TO = re.compile(r"\bbed\b|\bthick", re.IGNORECASE)
"""Words of a setting that is a thickness, among those of a planer."""


def planed_thick_enough(context: RuleContext) -> None:
    """Rule: nothing is planed thinner than the planer usually takes, unless a carrier is under it.

    Where a part itself is too thin, the rule about small parts says so.
    """
    least = station_named("planer").least_thickness_mm
    for op in context.first_piece:
        thin = planed_to_mm(op, context)
        if least is None or thin is None or thin >= least or is_held(at_hand(op, context), op.station):
            continue
        if any(len(part.plan_mm) == 3 and part.plan_mm[2] < least for part in one_of_each(op, context)):
            continue
        to, most = (show(mm, LENGTH, context.sheet.units) for mm in (thin, least))
        what = f"planes to {to}, the usual least at the planer is {most}."
        next_step = "Name the carrier that goes under it in needs. Follow the manual first."
        context.warn("part-too-small", op, what, next_step)


def ripped_thick_enough(context: RuleContext) -> None:
    """Rule: nothing thinner is ripped off at a saw than usually goes without a thin-strip jig."""
    for op in context.first_piece:
        least = station_named(op.station).least_rip_mm
        if least is None or is_held(at_hand(op, context), op.station):
            continue
        made = {one.part: one.measures for one in op.to_size if one.stage == "finished"}
        for part in one_of_each(op, context):
            measures = made.get(context.ids_of_copies[part.name], ())
            thin = [(mm, name) for mm, name in zip(part.plan_mm, MEASURES, strict=False) if name in measures]
            mm, name = min((one for one in thin if one[1] != "length"), default=(least, ""))
            if part.material == "solid" and mm < least:
                is_mm, usual = (show(one, LENGTH, context.sheet.units) for one in (mm, least))
                what = f"rips {part.name} to a {name} of {is_mm}, the usual least at the {op.station} is {usual}."
                next_step = "Name the thin-strip jig in needs, or saw it at the band saw. Follow the manual first."
                context.warn("part-too-small", op, what, next_step, part=part.name)


def planed_to_mm(op: Operation, context: RuleContext) -> float | None:
    """The thickness to which an operation planes by its setup, in mm; None where it planes to none."""
    if op.station != "planer":
        return None
    values = [value for setup in context.sheet.setups if setup.id == op.setup for value in setup.set]
    return min((value.plan for value in values if value.dim == "length" and PLANED_TO.search(value.name)), default=None)

"""Rules about splines: they fit their slots, go into their glue-up, and bridge no gap."""

import re

from benchbell.recipe.lies_rules import length_text
from benchbell.recipe.measure import LENGTH
from benchbell.recipe.rule_context import RuleContext, short_id, text_of
from benchbell.recipe.sheet import Operation, Setup
from benchbell.recipe.solids.faults import groups

SPLINE = re.compile(r"\b(?:spline|feather|loose tongue|slip|dowel|biscuit|key)s?\b", re.IGNORECASE)
"""A part with such a name bridges a joint and does not make one by itself."""

TIGHT_MM = 0.1
"""What is no thicker than its slot and this still goes in. Common practice, no source."""

CUTS = re.compile(r"(?:bit|chisel|kerf|cutter|slot|blade)(?: width)?|width", re.IGNORECASE)
"""The names of what a setup sets that are as wide as what it cuts."""

WIDENED = re.compile(r"\b(?:passes|twice|second pass|widen|shift|both faces|turn(?:ed|ing)? it)\b", re.IGNORECASE)
"""Words of a slot that gets wider than its cutter."""


def splines_bridge_nothing(context: RuleContext) -> None:
    """Rule: what a glue-up holds by a spline touches, and has its spline. Of equal splines only the first."""
    joined = {number for op in context.first_piece if op.makes or op.glue for number in context.joined_in(op)}
    said: set[tuple[str, str]] = set()
    for number, hosts in splines_in(context):
        by = next((op for op in context.glue_ups if set(hosts[:2]) <= set(context.joined_in(op))), None)
        spline = context.laid[number]
        if by is None or len(hosts) < 2 or (by.id, spline.part) in said:
            continue
        names = " and ".join(context.laid[n].name for n in hosts[:2])
        if number not in joined:
            what = f"joins {names}, but leaves out {spline.name}, which lies in both."
            context.warn("loose", by, what, "Add it to parts.")
        elif number in context.joined_in(by) and len(groups([[n] for n in hosts], context.contacts)) > 1:
            what = f"closes over {spline.name} only: {names} do not touch."
            context.warn("gap", by, what, "Correct how they lie, or their sizes.")
        else:
            continue
        said.add((by.id, spline.part))


def splines_in(context: RuleContext) -> list[tuple[int, list[int]]]:
    """The numbers of the laid parts that bridge joints, by their names, each with those of what it lies in."""
    named = {part.id for part in context.recipe.part if SPLINE.search(f"{part.id.replace('-', ' ')} {part.title}")}
    return [
        (number, [one.other(number) for one in context.contacts_by_part[number] if one.rooms])
        for number, part in enumerate(context.laid)
        if part.part in named
    ]


def splines_fit(context: RuleContext) -> None:
    """Rule: a spline is no thicker than the slot that a setup cuts for it. Of equal splines only the first."""
    setups = {setup.id: setup for setup in context.sheet.setups}
    parts = {part.name: part for part in context.sheet.parts}
    said: set[str] = set()
    for number, hosts in splines_in(context):
        laid = context.laid[number]
        part = parts.get(laid.name)
        if part is None or laid.part in said or len(part.plan_mm) < 3:
            continue
        into = {context.laid[n].name for n in hosts}
        widths = [width for op in context.first_piece for width in slots_for(laid.part, into, op, setups)]
        if widths and part.plan_mm[2] > max(widths) + TIGHT_MM:
            said.add(laid.part)
            thick, wide = (length_text(mm, context) for mm in (part.plan_mm[2], max(widths)))
            what = f"Part {laid.part} is {thick} thick, and its slot is {wide} wide."
            row = next(row for row, written in enumerate(context.recipe.part) if written.id == laid.part)
            context.findings.warn("does-not-fit", ("part", row), what, "Make it thinner, or the slot wider.")


def slots_for(part: str, hosts: set[str], op: Operation, setups: dict[str, Setup]) -> list[float]:
    """How wide an operation cuts slots for a part in others, in mm; empty when it cuts none, or widens them."""
    setup = setups.get(op.setup or "")
    if setup is None or not hosts & {short_id(id) for id in op.parts}:
        return []
    text = f"{text_of(op)} {setup.title} {setup.prove}"
    if not re.search(rf"\b{re.escape(part.replace('-', ' '))}", text, re.IGNORECASE) or WIDENED.search(text):
        return []
    return [one.plan for one in setup.set if CUTS.fullmatch(one.name) and one.dim == LENGTH.name]

"""Rules for parts, setups and sizes: parts large enough and free to move, setups proved, nothing unused."""

from collections.abc import Iterator

from benchbell.findings import Refused
from benchbell.recipe.clamp_rules import parts_in
from benchbell.recipe.holds import is_machine
from benchbell.recipe.measure import LENGTH, show
from benchbell.recipe.named_sizes import names_used
from benchbell.recipe.pieces import copy_names
from benchbell.recipe.placing_words import lies_formulas
from benchbell.recipe.rule_context import RuleContext
from benchbell.recipe.sheet import Part
from benchbell.recipe.trade_functions import year_of
from benchbell.recipe.written import GlueText, OperationText, SizeText
from benchbell.trade.movement_gaps import change_over
from benchbell.trade.species import species_named
from benchbell.trade.stations import station_named, too_small


def parts_large_enough(context: RuleContext) -> None:
    """Rule: no part is smaller than is usually worked at its station. Of equal copies only the first is checked."""
    parts = {part.id: part for part in context.sheet.parts}
    for op in context.first_piece:
        one_of_each = {parts[id].title.rstrip(" 0123456789"): parts[id] for id in reversed(op.parts) if id in parts}
        for part in reversed(one_of_each.values()):
            small = too_small(station_named(op.station), *part.plan_mm) if len(part.plan_mm) == 3 else ()
            for one in small[:1]:
                size, least = (show(mm, LENGTH, context.sheet.units) for mm in (one.is_mm, one.least_mm))
                context.warn(
                    "part-too-small",
                    op,
                    f"works {part.name}: its {one.measure} is {size}, the usual least at the {op.station} is {least}.",
                    "Work it as part of a longer or wider piece, or use another method. Follow the manual first.",
                )


def room_to_move(context: RuleContext) -> None:
    """Rule: solid wood is not held fast across its grain."""
    for op in context.first_piece:
        solid = [part for part in parts_in(op, context) if part.material == "solid"]
        if context.written(op).across != "fixed" or not solid:
            continue
        widest = max(solid, key=lambda part: part.plan_mm[1])
        context.warn(
            "no-room-to-move",
            op,
            f"holds solid wood fast across its grain{movement_text(widest, context)}.",
            "Give it room to move: slots, buttons, a panel loose in its groove (slot, panel_gap).",
            "across",
        )


def movement_text(part: Part, context: RuleContext) -> str:
    """How much a flat-sawn part moves over the shop's year, to end a sentence; "" when its wood is unknown."""
    try:
        change = change_over(species_named(part.stock), "flat", part.plan_mm[1], year_of(context.shop))
    except Refused:
        return ""
    width, whole = part.plan_mm[1], change.narrower_mm + change.wider_mm
    shown = [show(mm, LENGTH, context.sheet.units) for mm in (width, whole)]
    return f"; {part.name} alone, {shown[0]} wide, moves {shown[1]} over the year"


def setup_proved(context: RuleContext) -> None:
    """Rule: every setup is used, and a machine's setup has a proof cut."""
    used = {op.setup for op in context.sheet.operations}
    known = {setup.id for setup in context.sheet.setups}
    for row, written in enumerate(context.recipe.setup):
        if written.id not in known:
            continue  # a fragment's, equal to an earlier one
        if written.id not in used:
            what = f"Setup {written.id} is used by no operation."
            context.findings.warn("unused", ("setup", row), what, "Name it in an operation, or take it out.")
        elif not written.prove and is_machine(written.station):
            what = f"Setup {written.id} at the {written.station} has no proof cut."
            next_step = 'Add prove = "…": what to cut in scrap and how to judge it.'
            context.findings.warn("no-proof", ("setup", row), what, next_step)


def nothing_unused(context: RuleContext) -> None:
    """Rule: every part is worked, every size is used, and every size to be measured is measured."""
    worked = {id.rpartition("/")[2] for op in context.sheet.operations for id in op.parts}
    worked |= {id.rpartition("/")[2] for fixture in context.sheet.fixtures for id in fixture.of}
    for row, part in enumerate(context.recipe.part):
        if not worked.intersection(copy_names(part)):
            what = f"Part {part.id} is worked by no operation."
            context.findings.warn("unused", ("part", row), what, "Name it in an operation's parts, or take it out.")
    measured = {name for op in context.sheet.operations for name in op.measure}
    used = {name for text in formulas(context) for name in names_used(text, context.recipe.size)}
    used |= {name for op in context.sheet.operations for name in op.sizes} | measured
    for name, size in context.recipe.size.items():
        if isinstance(size, SizeText) and name not in measured:
            what = f"Size {name} is to be measured, but no operation measures it."
            context.findings.warn(
                "not-measured", ("size", name), what, f'Add measure = ["{name}"] where it is measured.'
            )
        elif name not in used:
            what = f"Size {name} is used by nothing."
            context.findings.warn("unused", ("size", name), what, "Use it, or take it out.")


def formulas(context: RuleContext) -> Iterator[str]:
    """Every text of the recipe that may use named sizes."""
    recipe = context.recipe
    for size in recipe.size.values():
        yield from (size,) if isinstance(size, str) else (size.plan, size.within)
    for part in recipe.part:
        yield from part.size
        yield from lies_formulas(part.lies) if part.lies else ()
    for setup in recipe.setup:
        yield from setup.set.values()
    for op in recipe.operation:
        yield from time_formulas(op)
        yield from glue_formulas(op.glue) if op.glue else ()


def time_formulas(op: OperationText) -> Iterator[str]:
    """The times an operation writes, without those of its glue."""
    yield from (op.wait, op.wait_most)
    if op.coat:
        yield from (op.coat.recoat, op.coat.recoat_most)


def glue_formulas(glue: GlueText) -> Iterator[str]:
    """The times and the joints' sizes of a glue-up."""
    yield from (glue.spread, glue.open, glue.pot, glue.clamp, glue.rest)
    for joint in glue.joints:
        yield from (joint.area, joint.length, joint.depth)

"""The trade's rules for parts and setups: large enough, free to move, proved on scrap, and none forgotten."""

from collections.abc import Iterator

from benchbell.findings import Refused
from benchbell.recipe.clamp_rules import parts_in
from benchbell.recipe.holds import is_machine
from benchbell.recipe.measure import LENGTH, show
from benchbell.recipe.named_sizes import names_used
from benchbell.recipe.pieces import names_of
from benchbell.recipe.rule_context import Case
from benchbell.recipe.sheet import Part
from benchbell.recipe.trade_functions import year_of
from benchbell.recipe.written import GlueText, OperationText, SizeText
from benchbell.trade.movement_gaps import change_over
from benchbell.trade.species import species_named
from benchbell.trade.stations import station_named, too_small


def parts_large_enough(case: Case) -> None:
    """No part is smaller than is usually worked at its station. Copies are alike, so the first speaks for them."""
    parts = {part.id: part for part in case.sheet.parts}
    for op in case.first:
        alike = {parts[id].title.rstrip(" 0123456789"): parts[id] for id in reversed(op.parts) if id in parts}
        for part in reversed(alike.values()):
            small = too_small(station_named(op.station), *part.plan_mm) if len(part.plan_mm) == 3 else ()
            for one in small[:1]:
                size, least = (show(mm, LENGTH, case.sheet.units) for mm in (one.is_mm, one.least_mm))
                case.warn(
                    "part-too-small",
                    op,
                    f"works {part.name}: its {one.measure} is {size}, the usual least at the {op.station} is {least}.",
                    "Work it as part of a longer or wider piece, or use another way. The manual comes first.",
                )


def room_to_move(case: Case) -> None:
    """Solid wood is not held fast across its grain."""
    for op in case.first:
        solid = [part for part in parts_in(op, case) if part.material == "solid"]
        if case.written(op).across != "fixed" or not solid:
            continue
        widest = max(solid, key=lambda part: part.plan_mm[1])
        case.warn(
            "no-room-to-move",
            op,
            f"holds solid wood fast across its grain{moves(widest, case)}.",
            "Leave it room: slots, buttons, a panel loose in its groove (slot, panel_gap).",
            "across",
        )


def moves(part: Part, case: Case) -> str:
    """How much a part alone moves over the shop's year, where its wood is known."""
    try:
        change = change_over(species_named(part.stock), "flat", part.plan_mm[1], year_of(case.shop))
    except Refused:
        return ""
    width, whole = part.plan_mm[1], change.narrower_mm + change.wider_mm
    told = [show(mm, LENGTH, case.sheet.units) for mm in (width, whole)]
    return f"; {part.name} alone, {told[0]} wide, moves {told[1]} over the year"


def setup_proved(case: Case) -> None:
    """A machine's setup is proved on scrap before parts are cut."""
    used = {op.setup for op in case.sheet.operations}
    for row, written in enumerate(case.recipe.setup):
        if written.id not in used:
            what = f"Setup {written.id} is used by no operation."
            case.notes.warn("unused", ("setup", row), what, "Name it in an operation, or take it out.")
        elif not written.prove and is_machine(written.station):
            what = f"Setup {written.id} at the {written.station} has no proof cut."
            next_step = 'Add prove = "…": what to cut in scrap and how to judge it.'
            case.notes.warn("no-proof", ("setup", row), what, next_step)


def nothing_unused(case: Case) -> None:
    """Every part is worked, every size is used, and every measured size is measured somewhere."""
    worked = {id.rpartition("/")[2] for op in case.sheet.operations for id in op.parts}
    for row, part in enumerate(case.recipe.part):
        if not worked.intersection(names_of(part)):
            what = f"Part {part.id} is worked by no operation."
            case.notes.warn("unused", ("part", row), what, "Name it in an operation's parts, or take it out.")
    measured = {name for op in case.sheet.operations for name in op.measure}
    used = {name for text in formulas(case) for name in names_used(text, case.recipe.size)}
    used |= {name for op in case.sheet.operations for name in op.sizes} | measured
    for name, size in case.recipe.size.items():
        if isinstance(size, SizeText) and name not in measured:
            what = f"Size {name} is to be measured, and no operation measures it."
            case.notes.warn("not-measured", ("size", name), what, f'Add measure = ["{name}"] where it is taken.')
        elif name not in used:
            what = f"Size {name} is used by nothing."
            case.notes.warn("unused", ("size", name), what, "Use it, or take it out.")


def formulas(case: Case) -> Iterator[str]:
    """Every text of the recipe that may name sizes."""
    recipe = case.recipe
    for size in recipe.size.values():
        yield from (size,) if isinstance(size, str) else (size.plan, size.within)
    for part in recipe.part:
        yield from part.size
    for setup in recipe.setup:
        yield from setup.set.values()
    for op in recipe.operation:
        yield from times_of(op)
        yield from in_glue(op.glue) if op.glue else ()


def times_of(op: OperationText) -> Iterator[str]:
    """The times an operation writes."""
    yield from (op.wait, op.wait_most)
    if op.coat:
        yield from (op.coat.recoat, op.coat.recoat_most)


def in_glue(glue: GlueText) -> Iterator[str]:
    """The times and joints of a glue-up."""
    yield from (glue.spread, glue.open, glue.pot, glue.clamp, glue.rest)
    for joint in glue.joints:
        yield from (joint.area, joint.length, joint.depth)

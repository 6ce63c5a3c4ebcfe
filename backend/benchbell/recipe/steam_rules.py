"""Rules for steam-bent work: woods that bend, no sharper than they do, and held on a form until the bend is set."""

from benchbell.durations import MINUTE_MS
from benchbell.recipe.measure import LENGTH, show
from benchbell.recipe.rule_context import RuleContext, clock_of, time_text
from benchbell.recipe.sheet import Operation, Part
from benchbell.recipe.steaming import Steaming, steaming_of
from benchbell.trade.bending import FORM_MINUTES, bending_of, least_radius_mm


def steamed(context: RuleContext) -> list[tuple[Operation, Steaming, list[Part]]]:
    """Each operation that steams, what it steams, and its parts."""
    found = []
    for op in context.first_piece:
        parts = [part for part in context.sheet.parts if part.id in op.parts]
        steaming = steaming_of(
            context.written(op), context.rows[op.name], parts, context.recipe, context.scope, context.findings
        )
        if steaming:
            found.append((op, steaming, parts))
    return found


def wood_bends(context: RuleContext) -> None:
    """Rule: what is steamed is a wood that bends, and not dried in a kiln. Of an operation only the first wood."""
    for op, steaming, parts in steamed(context):
        poor = next(((part, row) for part in parts if (row := bending_of(part.stock)).poor), None)
        if poor:
            part, row = poor
            next_step = "Take ash, oak, beech, elm or hickory, or laminate it of thin leaves."
            context.warn("poor-bender", op, f"bends {part.name} of {part.stock}: {row.poor}.", next_step, "steam")
        if steaming.dried == "kiln":
            what = "bends wood that was dried in a kiln: it breaks more often, and springs back further."
            next_step = "Take air-dried wood of 15 to 25 % moisture, or soak it for days and bend trial pieces first."
            context.warn("kiln-dried", op, what, next_step, "steam")


def bend_not_too_sharp(context: RuleContext) -> None:
    """Rule: no bend is sharper than its wood usually takes, with or without a strap. Only the first part that does not
    take it is named.
    """
    units = context.sheet.units
    for op, steaming, parts in steamed(context):
        if steaming.radius_mm is None:
            continue
        for part in parts:
            row, thick = bending_of(part.stock), steaming.thickness_mm
            least, strapped = (least_radius_mm(row, thick, strap) for strap in (steaming.strap, True))
            if steaming.radius_mm >= least:
                continue
            radius, usual, thickness = (show(mm, LENGTH, units) for mm in (steaming.radius_mm, least, thick))
            helps = not steaming.strap and steaming.radius_mm >= strapped
            context.warn(
                "tight-bend",
                op,
                f"bends {part.name}, {thickness} thick, to a radius of {radius}; {part.stock} usually bends to {usual} "
                f"{'in' if steaming.strap else 'without'} a strap.",
                "Bend it in a strap with end blocks, and write strap = true."
                if helps
                else "Make it thinner, or laminate it.",
                "steam",
            )
            break


def bend_held(context: RuleContext) -> None:
    """Rule: what is bent stays on its form, and the form with it, until the bend is set."""
    by_id = {op.id: op for op in context.first_piece}
    for op, _, _ in steamed(context):
        for id in dict.fromkeys(context.bends[op.id].values()):
            bend = by_id.get(id or "")
            if bend is None or not bend.fixtures:
                doing = f"{bend.name} bends it onto no form" if bend else "nothing bends it"
                next_step = (
                    "Name the form in fixtures of the next operation on it, and in held_until what takes it off."
                )
                context.warn("sprung-back", op, f"steams wood, and {doing}.", next_step, "steam")
            else:
                held_long_enough(bend, context)


def held_long_enough(bend: Operation, context: RuleContext) -> None:
    """Add a warning when bent wood or its form is free before the bend is set."""
    rest = clock_of(bend, "rest") or clock_of(bend, "in-clamps")
    minutes = (rest.least_ms or 0) / MINUTE_MS if rest else 0
    if minutes < FORM_MINUTES:
        after = f"after {time_text(minutes)}" if minutes else "as soon as it is bent"
        what = f"bends wood that may come off the form {after}: it springs back until it is cold and dry."
        context.warn("sprung-back", bend, what, f'Write wait = "{time_text(FORM_MINUTES)}" or more, better a week.')
    elif not bend.held_until and clock_of(bend, "in-clamps") is None:
        what = "frees its form as soon as the wood is bent, which stays on it to set."
        context.warn("sprung-back", bend, what, 'Write held_until = "…": the operation that takes it off.', "fixtures")

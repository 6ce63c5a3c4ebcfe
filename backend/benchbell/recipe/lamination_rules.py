"""Rules for laminated bends: glued up on a form, of strips that are thin enough for the bend."""

from benchbell.recipe.holds import are_copies
from benchbell.recipe.measure import LENGTH, show
from benchbell.recipe.rule_context import RuleContext
from benchbell.recipe.sheet import Operation, Part
from benchbell.recipe.steaming import bow_radii

# Common practice, no source.
THIN_MM = 8.0  # strips that are bent without steam are no thicker
SHARPEST = 60  # times its thickness is the radius to which dry hard wood is bent, at the least
EASY = 100  # and so many times to which it bends easily


def strips_of(op: Operation, context: RuleContext) -> list[Part]:
    """The strips that a glue-up laminates to a bend: thin copies under stress, or copies that lie bent; else none."""
    parts = {part.id: part for part in context.sheet.parts}
    strips = [parts[id] for id in op.parts if id in parts]
    if not op.makes or not op.glue or not are_copies(op.parts) or len(strips) != len(op.parts):
        return []
    if any(part.material == "sheet" or len(part.plan_mm) != 3 for part in strips):
        return []
    thin = op.stressed and max(part.plan_mm[2] for part in strips) <= THIN_MM
    return strips if thin or radius_mm(strips, context) is not None else []


def radius_mm(strips: list[Part], context: RuleContext) -> float | None:
    """The inside radius to which strips are bent, by how they lie; None where they do not lie bent."""
    return min(bow_radii(context.recipe, {part.name for part in strips}, context.scope), default=None)


def bent_on_a_form(context: RuleContext) -> None:
    """Rule: what is laminated to a bend stands in a form, of which the planner knows how many there are."""
    for op in context.first_piece:
        if not op.fixtures and strips_of(op, context):
            what = "laminates strips to a bend, and names no form for it."
            next_step = "Add a [[fixture]] for the form, and name it in the operation's fixtures."
            context.warn("no-form", op, what, next_step)


def strips_thin_enough(context: RuleContext) -> None:
    """Rule: strips that are bent dry are thin for their radius."""
    units = context.sheet.units
    for op in context.first_piece:
        strips = strips_of(op, context)
        radius = radius_mm(strips, context) if strips else None
        thick = max((part.plan_mm[2] for part in strips), default=0)
        if radius is not None and radius < SHARPEST * thick:
            to, is_mm, least, easy = (show(mm, LENGTH, units) for mm in (radius, thick, SHARPEST * thick, EASY * thick))
            what = (
                f"bends strips {is_mm} thick dry to a radius of {to}: they usually bend to {least}, "
                f"and easily to {easy}."
            )
            context.warn("tight-bend", op, what, "Make the strips thinner, and try one on the form first.")

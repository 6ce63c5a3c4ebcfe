"""Rules for veneer: pressed hard enough, on both faces, dry before it is sanded, not across the grain of solid wood."""

import re
from math import ceil

from benchbell.durations import MINUTE_MS
from benchbell.recipe.across_rules import WIDE_MM
from benchbell.recipe.clamp_rules import force_text
from benchbell.recipe.clamping import joints_of
from benchbell.recipe.measure import AREA, LENGTH, show
from benchbell.recipe.pressing import needed_n, press_of, pressed_face
from benchbell.recipe.rule_context import RuleContext, clock_of, short_id, text_of, time_text
from benchbell.recipe.sheet import Operation, Part
from benchbell.recipe.solids.vectors import Vec, dot, unit
from benchbell.recipe.veneering import Ground, Veneering, dries_slowly
from benchbell.recipe.wood_rules import alike, movement_text
from benchbell.trade.clamps import clamp_named
from benchbell.trade.glue import glue_named
from benchbell.trade.pressings import HAMMERED

EDGE = re.compile(r"\bedges?\b", re.IGNORECASE)

# Common practice, no source.
A_FACE = 0.5  # leaves on less of a ground than this are edgings and inlay
BOTH_FACES = 1.5  # leaves on more of a ground than this lie on both its faces
DRY_MINUTES = 24 * 60  # before veneer is sanded, scraped or finished
ALONG = 0.7  # grains whose directions agree more than this run along each other
PRESSED_BY_HAND = (HAMMERED, "contact")  # glues with which veneer is rubbed down


def veneer_pressed(context: RuleContext) -> None:
    """Rule: whatever lays veneer says how it is pressed; clamps give enough force, a hammer has its glue."""
    for op in context.first_piece:
        written, laid = context.written(op), context.veneering.get(op.id)
        if laid is None and written.press:
            what = f"Operation {written.id} has press = “{written.press}”, but lays no veneer on anything."
            next_step = 'Name the leaves, of material = "veneer", and their ground in parts, or take press out.'
            context.findings.error("clash", context.path(op, "press"), what, next_step)
        if laid is None:
            continue
        press = press_of(written)
        if press is None and not op.fixtures and op.station != "press" and op.glue not in PRESSED_BY_HAND:
            next_step = 'Add press = "vacuum", or "screw press", or clamps for cauls.'
            context.warn("veneer-pressure", op, "lays veneer, and nothing presses it.", next_step)
        if press == "hammer" and op.glue != HAMMERED:
            what = f"lays veneer with a hammer, and {op.glue} does not hold it while it is worked."
            context.warn("veneer-pressure", op, what, f"Use {HAMMERED}, or press it.", "press")
        if press == "cauls" and op.clamps:
            enough_force(op, laid, context)


def enough_force(op: Operation, laid: Veneering, context: RuleContext) -> None:
    """Add a warning when a glue-up's clamps, as hard as a hand tightens them, do not press its veneer enough."""
    joints = joints_of(context.written(op), context.rows[op.name], context.scope, context.findings)
    face = pressed_face(laid, joints)
    needed, most = needed_n("cauls", face), max(clamp_named(kind).most_n for kind in op.clamps)
    count, units = sum(op.clamps.values()), context.sheet.units
    area = show(face.area_mm2, AREA, units)
    if count * most < needed:
        context.warn(
            "veneer-pressure",
            op,
            f"has {count} of the {ceil(needed / most)} clamps usual to press veneer on {area}: "
            f"{force_text(needed, units)}, at most {force_text(most, units)} each.",
            "Add clamps and bearers, or use a vacuum bag or a screw press.",
            "glue",
        )


PLANED_THROUGH_MM = 2.0
"""A leaf that is thinner is gone after a cut or two. Common practice, no source."""


def veneer_not_planed(context: RuleContext) -> None:
    """Rule: what thin veneer is laid on goes through no planer any more, nor over a jointer but by its edge."""
    leaves = {
        leaf.id: leaf
        for op in context.first_piece
        if op.id in context.veneering
        for leaf in context.veneering[op.id].leaves
        if leaf.plan_mm[2] < PLANED_THROUGH_MM
    }
    for op in context.first_piece:
        if op.station not in ("planer", "jointer") or (op.station == "jointer" and EDGE.search(text_of(op))):
            continue
        inside = [one for id in op.parts for one in context.contents.get(id, ()) if one != id]
        if leaf := next((leaves[id] for id in inside if id in leaves), None):
            thick = show(leaf.plan_mm[2], LENGTH, context.sheet.units)
            what = f"planes through the leaf: {leaf.name} is {thick} thick, and the {op.station} takes it off."
            next_step = "Plane the ground before the veneer is laid; afterwards scrape or sand by hand, lightly."
            context.warn("planed-through", op, what, next_step)


def veneer_on_both_faces(context: RuleContext) -> None:
    """Rule: a ground has veneer on both faces, or it goes hollow as the leaf dries. Of a glue-up only the first."""
    laying = [(op, context.veneering[op.id]) for op in context.first_piece if op.id in context.veneering]
    said: set[str] = set()
    for op, laid in laying:
        shares = {ground: sum(share_of(ground, one) for _, one in laying) for ground in laid.grounds}
        bare = [ground for ground, share in shares.items() if A_FACE <= share < BOTH_FACES]
        for ground in [one for one in bare if said.isdisjoint(one.parts)][:1]:
            what = f"lays veneer on one face of {short_id(ground.id)} only: it goes hollow as the leaf dries."
            next_step = "Lay a leaf of the same thickness on the other face too, in the same pressing."
            context.warn("one-face", op, what, next_step)
        said.update(part for ground in bare for part in ground.parts)


def share_of(ground: Ground, laid: Veneering) -> float:
    """How much of a ground the leaves of one glue-up cover, over its face; 0 when it lays none on it."""
    faces = sum(one.length_mm * one.width_mm for one in laid.grounds)
    if not any(set(one.parts) & set(ground.parts) for one in laid.grounds) or len(laid.others) > len(laid.grounds):
        return 0
    return sum(leaf.plan_mm[0] * leaf.plan_mm[1] for leaf in laid.leaves) / faces


def veneer_dry(context: RuleContext) -> None:
    """Rule: veneer laid with a glue that dries slowly rests a day before it is sanded, scraped or finished.

    A rest in the recipe that is shorter than the glue's own is told by the rule for all glue-ups.
    """
    for op in context.first_piece:
        rest = clock_of(op, "rest")
        if op.id not in context.veneering or rest is None or not dries_slowly(op.glue):
            continue
        minutes = (rest.least_ms or 0) / MINUTE_MS
        usual = glue_named(op.glue, context.shop.labels.get(op.glue)).machine_minutes
        waiting = [
            one for one in context.first_piece if any((h.operation, h.clock) == (op.id, "rest") for h in one.holds)
        ]
        if waiting and minutes < DRY_MINUTES and (rest.figure or minutes >= usual):
            what = (
                f"lays veneer that is worked in {waiting[0].name} after {time_text(minutes)}: "
                f"the water of {op.glue} is out of it after {time_text(DRY_MINUTES)} or more."
            )
            context.warn(
                "veneer-wet", op, what, f'Write rest = "{time_text(DRY_MINUTES)}" or more in its glue.', "glue"
            )


def veneer_along_the_grain(context: RuleContext) -> None:
    """Rule: no veneer lies across the grain of solid wood over WIDE_MM, which tears it. Of a glue-up only the first."""
    for op in context.first_piece:
        laid = context.veneering.get(op.id)
        solid = [ground for ground in laid.grounds if ground.solid and ground.width_mm > WIDE_MM] if laid else []
        crossed = [
            ground for ground in solid if laid and any(lies_across(leaf, ground, context) for leaf in laid.leaves)
        ]
        for ground in crossed[:1]:
            wide, moves = movement_text(ground.stock, ground.width_mm, context)
            context.warn(
                "veneer-across",
                op,
                f"lays veneer across the grain of {short_id(ground.id)}, solid {ground.stock} {wide} wide"
                f"{moves and f', which moves {moves} over the year under it'}.",
                "Lay it along the grain, or on sheet goods.",
            )


def lies_across(leaf: Part, ground: Ground, context: RuleContext) -> bool:
    """Whether a leaf's grain runs across that of its ground: as they lie, or else by their sizes."""
    own, other = grain_of(leaf.id, context), grain_of(ground.parts[0], context)
    if own and other:
        return abs(dot(own, other)) < ALONG
    length = leaf.plan_mm[0]
    return alike(length, ground.width_mm) and not alike(length, ground.length_mm)


def grain_of(id: str, context: RuleContext) -> Vec | None:
    """The direction of a part's grain where it lies; None when it is not drawn."""
    number = next(iter(context.laid_in(id)), None)
    return None if number is None else unit(context.laid[number].grain)

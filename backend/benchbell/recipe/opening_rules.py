"""A rule about doors, lids and drawers: they share no room with what they move in."""

from benchbell.recipe.lies_rules import length_text
from benchbell.recipe.put_in import HUNG, PutIn, unfit
from benchbell.recipe.rule_context import RuleContext, short_id, text_of
from benchbell.recipe.solids.contacts import JOINT_MM
from benchbell.recipe.solids.vectors import bounds

TOO = ("wide", "deep", "high")
"""By axis, what is too large for its opening."""


def what_moves_is_free(context: RuleContext) -> None:
    """Rule: a door, lid or drawer shares no room with what it goes into, unless an operation makes that room."""
    stuck = {(one.a, one.b) for one in context.stuck}
    for found in unfit(context):
        free = [one for one in found.between if (one.a, one.b) not in stuck]
        if not free:
            continue
        mm, axis, first = most_too_large(found, context)
        a, b = context.laid[found.between[first].a].name, context.laid[found.between[first].b].name
        does = "hangs" if HUNG.search(text_of(found.op)) else "puts in"
        size = f"{length_text(mm, context)} too {TOO[axis]} for its opening"
        what = f"{does} {short_id(found.id)}, which is {size}: {a} and {b} share room."
        context.warn("runs-through", found.op, what, "Correct its size, or how it lies.")


def most_too_large(found: PutIn, context: RuleContext) -> tuple[float, int, int]:
    """By how much something is too large, in mm, on which axis, and the number of the first contact that says so.

    Each part in its way counts on the axis on which it would have to move least; both sides of an axis add up.
    """
    low, high = bounds(point for n in found.own for point in (context.laid[n].low, context.laid[n].high))
    most: dict[tuple[int, bool], tuple[float, int]] = {}
    for row, one in enumerate(found.between):
        other = context.laid[one.b if one.a in found.own else one.a]
        ways = [(high[n] - other.low[n], n, True) for n in range(3)] + [
            (other.high[n] - low[n], n, False) for n in range(3)
        ]
        mm, axis, upper = min(ways)
        if mm > max(JOINT_MM, most.get((axis, upper), (0.0, 0))[0]):
            most[axis, upper] = (mm, row)
    sums = [(sum(most.get((n, upper), (0.0, 0))[0] for upper in (True, False)), n) for n in range(3)]
    mm, axis = max(sums)
    return mm, axis, min(row for (n, _), (_, row) in most.items() if n == axis)

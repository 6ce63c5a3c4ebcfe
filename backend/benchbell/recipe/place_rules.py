"""The rule about where the piece will live: glue and finish stand what it meets there."""

from benchbell.recipe.clamp_rules import parts_in
from benchbell.recipe.coat_rules import first_coats
from benchbell.recipe.glue_rules import glue_ups
from benchbell.recipe.rule_context import RuleContext
from benchbell.recipe.sheet import Operation
from benchbell.trade.finish import finishes
from benchbell.trade.glue import glues
from benchbell.trade.places import WORDS, Place, stands


def good_for_its_place(context: RuleContext) -> None:
    """Rule: each glue and finish of a piece is good for where it will live. Forms and jigs stay in the shop."""
    lives = context.recipe.lives
    for op, glue in glue_ups(context):
        if not stands(glue.good_for, lives) and goes_with_piece(op, context):
            warn(
                context, op, glue.id, glue.good_for, [row.id for row in glues().values() if stands(row.good_for, lives)]
            )
    for op, finish in first_coats(context):
        if not stands(finish.good_for, lives) and goes_with_piece(op, context):
            good = [row.id for row in finishes().values() if stands(row.good_for, lives)]
            warn(context, op, finish.id, finish.good_for, good)


def goes_with_piece(op: Operation, context: RuleContext) -> bool:
    """Whether an operation works on any part of a piece, and not only on what is made once for the whole build."""
    return any(part.piece for part in parts_in(op, context))


def warn(context: RuleContext, op: Operation, stuff: str, good_for: Place, instead: list[str]) -> None:
    """Add the warning about a glue or finish. instead: those that are good for the place."""
    context.warn(
        "wrong-place",
        op,
        f"uses {stuff}, which is good {WORDS[good_for]}, and the piece lives {WORDS[context.recipe.lives]}.",
        f"Use one of: {', '.join(instead)}; or correct lives. The label comes first.",
    )

"""Glue-ups that take no clamps: wedges, keys, a rub joint. Their glue sets all the same, and nothing is taken off.

Twin: pwa/src/bench/unclamped.ts.
"""

from benchbell.recipe.sheet import Operation


def is_unclamped(op: Operation) -> bool:
    """Whether nothing is taken off a glue-up when its glue has set: no clamps, and no fixture that goes with them."""
    return op.step == "glue-up" and not op.clamps and (not op.fixtures or bool(op.held_until))

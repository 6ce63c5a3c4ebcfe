"""Rules for measured sizes with bounds."""

from benchbell.recipe.bounds import bounds_text, has_bounds
from benchbell.recipe.rule_context import RuleContext


def bounds_hold_something(context: RuleContext) -> None:
    """Rule: something comes after each operation that measures a size with bounds, and waits for it."""
    sizes = {size.name: size for size in context.sheet.sizes if has_bounds(size)}
    followed = {before for op in context.sheet.operations for before in op.after}
    for op in context.first_piece:
        for name in op.measure:
            if name in sizes and op.id not in followed:
                context.warn(
                    "holds-nothing",
                    op,
                    f"measures {name}, {bounds_text(sizes[name], context.sheet.units)}, but nothing comes after it.",
                    "Name it in the after of what waits, or name the parts that wait in its parts.",
                    "measure",
                )

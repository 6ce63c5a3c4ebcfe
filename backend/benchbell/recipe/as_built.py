"""Sizes measured at the bench: what depends on each, and the rule that it is measured before it is cut to."""

from collections.abc import Iterable, Mapping

from msgspec import Struct

from benchbell.recipe.formula import names_in
from benchbell.recipe.rule_context import RuleContext
from benchbell.recipe.sheet import Formula, Operation, Sheet


class Dependents(Struct, frozen=True):
    """What depends on a size. sizes: names, its own first. parts, setups, operations: ids.

    An operation depends on it when it shows a size that does, or uses a setup that does.
    """

    sizes: tuple[str, ...]
    parts: tuple[str, ...]
    setups: tuple[str, ...]
    operations: tuple[str, ...]


def dependents(sheet: Sheet, size: str) -> Dependents:
    """Everything that depends on a named size, directly or through other sizes."""
    sizes = {size: None}
    for one in sheet.sizes:  # in an order in which each depends on earlier ones only
        if names_in(one.formula) & sizes.keys():
            sizes[one.name] = None
    parts = [part.id for part in sheet.parts if uses(part.size, sizes)]
    setups = [setup.id for setup in sheet.setups if uses([value.formula for value in setup.set], sizes)]
    operations = [op.id for op in sheet.operations if op.setup in setups or sizes.keys() & set(op.sizes)]
    return Dependents(tuple(sizes), tuple(parts), tuple(setups), tuple(operations))


def uses(formulas: Iterable[Formula], sizes: Mapping[str, None]) -> bool:
    """Whether any of the formulas names any of the sizes."""
    return any(names_in(formula) & sizes.keys() for formula in formulas)


def measured_in_time(context: RuleContext) -> None:
    """Rule: a size is measured before an operation cuts to it or joins a part that depends on it."""
    for size in context.sheet.sizes:
        measuring = [op.name for op in context.first_piece if size.name in op.measure]
        depending = dependents(context.sheet, size.name)
        for op in context.first_piece if measuring else ():
            reason = dependence_of(op, depending)
            if reason and not context.written(op).rough and not is_measured_before(size.name, op, context):
                later = measuring[0]
                what = f"Operation {op.name} {reason}, and that is measured only in {later}."
                next_step = f'Move {later} up, add after = ["{later}"], or rough = true if it cuts over size.'
                context.findings.error("cut-before-measured", context.path(op), what, next_step)


def dependence_of(op: Operation, depending: Dependents) -> str:
    """How an operation depends on the size, to follow its name in a sentence; "" when it does not."""
    shown = [name for name in op.sizes if name in depending.sizes]
    if shown:
        return f"works to {shown[0]}" + (
            f", which depends on {depending.sizes[0]}" if shown[0] != depending.sizes[0] else ""
        )
    if op.setup in depending.setups:
        return f"uses the setup {op.setup}, which depends on {depending.sizes[0]}"
    joined = [id for id in op.parts if id in depending.parts] if op.makes else []
    return f"joins {joined[0].rpartition('/')[2]}, which depends on {depending.sizes[0]}" if joined else ""


def is_measured_before(size: str, op: Operation, context: RuleContext) -> bool:
    """Whether the size is measured in an operation that must come before this one, or in this one."""
    earlier = context.all_before(op)
    return any(size in one.measure for one in context.first_piece if one.id == op.id or one.id in earlier)

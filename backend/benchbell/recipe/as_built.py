"""Sizes taken at the bench: what depends on each, and whether it is taken before anything is cut to it."""

from collections.abc import Iterable, Mapping

from msgspec import Struct

from benchbell.recipe.formula import names_in
from benchbell.recipe.rule_context import Case
from benchbell.recipe.sheet import Formula, Operation, Sheet


class Dependents(Struct, frozen=True):
    """What changes when a size is measured. sizes: itself first. parts, setups, operations: ids.

    Operations are those that show such a size or stand in such a setup.
    """

    sizes: tuple[str, ...]
    parts: tuple[str, ...]
    setups: tuple[str, ...]
    operations: tuple[str, ...]


def dependents(sheet: Sheet, size: str) -> Dependents:
    """All that depends on a named size, however far."""
    sizes = {size: None}
    for one in sheet.sizes:  # those that others need stand first
        if names_in(one.formula) & sizes.keys():
            sizes[one.name] = None
    parts = [part.id for part in sheet.parts if uses(part.size, sizes)]
    setups = [setup.id for setup in sheet.setups if uses([value.formula for value in setup.set], sizes)]
    operations = [op.id for op in sheet.operations if op.setup in setups or sizes.keys() & set(op.sizes)]
    return Dependents(tuple(sizes), tuple(parts), tuple(setups), tuple(operations))


def uses(formulas: Iterable[Formula], sizes: Mapping[str, None]) -> bool:
    """Whether any of them names any of the sizes."""
    return any(names_in(formula) & sizes.keys() for formula in formulas)


def measured_in_time(case: Case) -> None:
    """Nothing is cut to a measured size, or closed with a part of that size in it, before it is measured."""
    for size in case.sheet.sizes:
        takers = [op.name for op in case.first if size.name in op.measure]
        found = dependents(case.sheet, size.name)
        for op in case.first if takers else ():
            wants = wanted_in(op, found, case)
            if wants and not case.written(op).rough and not taken_before(size.name, op, case):
                what = f"Operation {op.name} {wants}, and that is measured only in {takers[0]}."
                next_step = f'Move {takers[0]} up, add after = ["{takers[0]}"], or rough = true if it cuts over size.'
                case.notes.error("cut-before-measured", case.path(op), what, next_step)


def wanted_in(op: Operation, found: Dependents, case: Case) -> str:
    """What in an operation depends on the size, in words; "" when nothing does."""
    shown = [name for name in op.sizes if name in found.sizes]
    if shown:
        return f"works to {shown[0]}" + (f", which depends on {found.sizes[0]}" if shown[0] != found.sizes[0] else "")
    if op.setup in found.setups:
        return f"stands in the setup {op.setup}, which depends on {found.sizes[0]}"
    closed = [id for id in op.parts if id in found.parts] if op.makes else []
    return f"joins {closed[0].rpartition('/')[2]}, which depends on {found.sizes[0]}" if closed else ""


def taken_before(size: str, op: Operation, case: Case) -> bool:
    """Whether the size is measured when the operation begins, or in it."""
    earlier = case.before(op)
    return any(size in one.measure for one in case.first if one.id == op.id or one.id in earlier)

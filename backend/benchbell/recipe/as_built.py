"""Sizes measured at the bench: what depends on each, and that it is measured before anything is cut to it."""

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.formula import names_in
from benchbell.recipe.sheet import Formula, Part, Setup, Size
from benchbell.recipe.steps import Step
from benchbell.recipe.written import OperationText, Recipe


class Dependents(Struct, frozen=True):
    """What depends on a size. sizes: names, its own first. parts, setups: ids."""

    sizes: tuple[str, ...]
    parts: tuple[str, ...]
    setups: tuple[str, ...]


class Contradiction(Struct, frozen=True):
    """An operation that works to a measured size, but has to be done before the size is measured.

    row, measured_by: rows of both in the recipe. reason: how it depends on the size, to follow its name.
    """

    row: int
    measured_by: int
    reason: str


def dependents(size: str, sizes: Sequence[Size], parts: Sequence[Part], setups: Sequence[Setup]) -> Dependents:
    """Everything that depends on a named size, directly or through other sizes.

    sizes: in an order in which each depends on earlier ones only.
    """
    names = {size: None}
    for one in sizes:
        if names_in(one.formula) & names.keys():
            names[one.name] = None
    using_parts = [part.id for part in parts if uses(part.size, names)]
    using_setups = [setup.id for setup in setups if uses([value.formula for value in setup.set], names)]
    return Dependents(tuple(names), tuple(using_parts), tuple(using_setups))


def uses(formulas: Iterable[Formula], sizes: Mapping[str, None]) -> bool:
    """Whether any of the formulas names any of the sizes."""
    return any(names_in(formula) & sizes.keys() for formula in formulas)


def measure_first(
    steps: Mapping[str, Step],
    recipe: Recipe,
    sizes: Sequence[Size],
    parts: Sequence[Part],
    setups: Sequence[Setup],
    findings: FindingList,
) -> None:
    """Let each step that works to a measured size come after one that measures it, unless it cuts over size.

    Adds to the steps' `after`. Where the measuring has to come later, it adds one finding for each operation that
    measures, about the first operation that would need it.
    """
    found: list[Contradiction] = []
    for size in sizes:
        measuring = [step for step in steps.values() if size.name in recipe.operation[step.row].measure]
        depending = dependents(size.name, sizes, parts, setups) if measuring else None
        for step in steps.values() if depending else ():
            written = recipe.operation[step.row]
            reason = dependence_of(step, written, depending)
            if reason and not written.rough and size.name not in written.measure:
                found += too_late(step, measuring, reason, steps)
    for measured_by in sorted({one.measured_by for one in found}):
        add_contradiction(measured_by, [one for one in found if one.measured_by == measured_by], recipe, findings)


def dependence_of(step: Step, written: OperationText, depending: Dependents | None) -> str:
    """How a step depends on a size, to follow its operation's name in a sentence; "" when it does not."""
    if depending is None:
        return ""
    size = depending.sizes[0]
    shown = [name for name in written.show if name in depending.sizes]
    if shown:
        return f"works to {shown[0]}" + (f", which depends on {size}" if shown[0] != size else "")
    if written.setup in depending.setups:
        return f"uses the setup {written.setup}, which depends on {size}"
    joined = [id for id in step.parts if id in depending.parts] if step.makes else []
    return f"joins {joined[0].rpartition('/')[2]}, which depends on {size}" if joined else ""


def too_late(step: Step, measuring: Sequence[Step], reason: str, steps: Mapping[str, Step]) -> Iterable[Contradiction]:
    """Let the step come after the measuring in each piece that it works on; or say where that cannot be."""
    for piece in dict.fromkeys(one.piece for one in measuring):
        of_piece = [one for one in measuring if one.piece == piece]
        concerns = not (step.piece and piece and step.piece != piece)
        if not concerns or any(is_before(one, step, steps) for one in of_piece):
            continue
        possible = [one for one in of_piece if not is_before(step, one, steps)]
        if possible:
            step.after.append(possible[0].id)
        else:
            yield Contradiction(step.row, of_piece[0].row, reason)


def is_before(one: Step, other: Step, steps: Mapping[str, Step]) -> bool:
    """Whether a step has to be done before another, directly or through others."""
    seen: set[str] = set()
    to_visit = list(other.after)
    while to_visit:
        earlier = to_visit.pop()
        if earlier == one.id:
            return True
        if earlier not in seen:
            seen.add(earlier)
            to_visit += steps[earlier].after
    return False


def add_contradiction(measured_by: int, found: Sequence[Contradiction], recipe: Recipe, findings: FindingList) -> None:
    """Add a finding about the first operation that would need a size before it can be measured."""
    first = min(found, key=lambda one: one.row)
    others = len({one.row for one in found}) - 1
    name, later = recipe.operation[first.row].id, recipe.operation[measured_by].id
    more = f" So would {others} more {'operation' if others == 1 else 'operations'}." if others else ""
    joins = first.reason.startswith("joins")
    over_size = "" if joins else f", or write rough = true in {name} if it cuts over size"
    findings.error(
        "cut-before-measured",
        ("operation", first.row),
        f"Operation {name} {first.reason}, and that is measured only in {later}, which comes after it.{more}",
        f"Move {later} up, before {name}{over_size}.",
    )

"""The recipe's named sizes, in an order in which each depends on earlier ones only, and formulas that use them."""

from collections.abc import Collection, Mapping, Sequence
from itertools import pairwise

from msgspec import Struct, field

from benchbell.findings import Refused
from benchbell.recipe.bounds import bounds_text, is_within
from benchbell.recipe.dimensions import with_article
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.formula import Compiled, Macro, compile_formula, evaluate
from benchbell.recipe.measure import LENGTH, MOST_VALUE, TIME, Dim, NotAMeasure, Units, dim_named, show
from benchbell.recipe.sheet import Size
from benchbell.recipe.tokens import tokens_of
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.written import SizeText

MOST_VALUES = 6
"""The most sizes of a formula that a finding tells with their values."""

UNITS = {"length": "mm or in", "area": "mm * mm or in * in", "angle": "deg", "time": "min or h", "percentage": "%"}


class FormulaScope(Struct):
    """The names that a formula may use: trade functions, and sizes with their kinds and planned values.

    units: in which findings show lengths.
    broken: names of sizes with a wrong formula, and faces of parts that cannot be placed. A formula that uses one gives
    no finding of its own.
    wrong: of those that are not known before a build begins, the ones that no measuring would make known.
    """

    functions: Mapping[str, Macro]
    units: Units = "mm"
    dims: dict[str, Dim] = field(default_factory=dict)
    plan: dict[str, float] = field(default_factory=dict)
    broken: set[str] = field(default_factory=set)
    wrong: set[str] = field(default_factory=set)


class CheckedFormula(Struct, frozen=True):
    """A compiled formula with its planned value in base units."""

    compiled: Compiled
    plan: float


def named_sizes(written: Mapping[str, str | SizeText], scope: FormulaScope, findings: FindingList) -> tuple[Size, ...]:
    """All named sizes, each after those it depends on; adds them to `scope`."""
    ordered = in_order(written, findings)
    scope.broken |= written.keys() - set(ordered)
    return tuple(size for name in ordered if (size := named_size(name, written[name], scope, findings)))


def in_order(written: Mapping[str, str | SizeText], findings: FindingList) -> list[str]:
    """The sizes' names, each after those it uses. A circle gives a finding; sizes that depend on it are left out."""
    uses = {name: names_used(formula_of(size), written) for name, size in written.items()}
    ordered: list[str] = []
    while free := [name for name, used in uses.items() if not used.difference(ordered)]:
        ordered += free
        uses = {name: used for name, used in uses.items() if name not in free}
    for circle in circles_in(uses):
        what = f"Size {circle[0]} needs itself: {' needs '.join(circle)}."
        findings.error("size-circle", ("size", circle[0]), what, "Give one of them a size of its own.")
    return ordered


def circles_in(uses: Mapping[str, set[str]]) -> list[list[str]]:
    """Every circle in `uses` once, its first name again at the end."""
    found: list[list[str]] = []
    seen: set[str] = set()
    for name in uses:
        path = [name]
        while path[-1] not in seen and path.count(path[-1]) == 1:
            path.append(next(used for used in sorted(uses[path[-1]]) if used in uses))
        if path[-1] not in seen:
            found.append(path[path.index(path[-1]) :])
        seen.update(path)
    return found


def names_used(formula: str, known: Collection[str], kinds: Collection[str] = ("name",)) -> set[str]:
    """The known names that a formula uses. Empty when its text is wrong: compiling it gives the finding.

    kinds: of tokens: sizes are a "name", parts' faces a "face".
    """
    try:
        tokens = tokens_of(formula) if known else ()
    except Refused:
        return set()
    return {
        token.text
        for token, following in pairwise(tokens)
        if token.kind in kinds and token.text in known and following.text != "("
    }


def formula_of(size: str | SizeText) -> str:
    """The formula of a size: its planned value when it is measured."""
    return size if isinstance(size, str) else size.plan


def named_size(name: str, written: str | SizeText, scope: FormulaScope, findings: FindingList) -> Size | None:
    """One named size, added to `scope`; None, and a finding, when its formula is wrong."""
    path = ("size", name)
    checked = checked_formula(formula_of(written), scope, path, f"Size {name}", findings)
    if checked is None:
        scope.broken.add(name)
        return None
    dim = checked.compiled.dim
    scope.dims[name], scope.plan[name] = dim, checked.plan
    formula, line = checked.compiled.postfix, findings.line_in_recipe(path)
    if isinstance(written, str):
        return Size(name, dim.name, formula, checked.plan, line=line)
    within, least, most = (
        positive_value(getattr(written, key), scope, path, f"Size {name}: {key}", findings, dim)
        for key in ("within", "least", "most")
    )
    size = Size(name, dim.name, formula, checked.plan, written.measure, within, written.once, line, least, most)
    check_bounds(size, path, scope.units, findings)
    return size


def check_bounds(size: Size, path: Path, units: Units, findings: FindingList) -> None:
    """Add a finding for bounds that contradict each other, or that the drawing's value is out of."""
    dim, bounds = dim_named(size.dim), bounds_text(size, units)
    if size.least is not None and size.most is not None and size.least > size.most:
        what = f"Size {size.name} is to be {bounds}: no value is."
        findings.error("bounds", path, what, "Correct least or most.")
    elif not is_within(size, size.plan):
        what = f"Size {size.name} is planned {show(size.plan, dim, units)}, and is to be {bounds}."
        findings.error("bounds", path, what, "Correct plan, least or most.")


def checked_formula(
    text: str, scope: FormulaScope, path: Path, about: str, findings: FindingList, dim: Dim | None = None
) -> CheckedFormula | None:
    """A formula compiled and evaluated with the planned sizes; None, and a finding, when it is wrong.

    about: the thing, for the finding. dim: the kind it must have, or None for any.
    """
    if names_used(text, scope.broken, ("name", "face")):
        return None
    try:
        compiled = compile_formula(text, scope.dims, scope.functions)
        plan = within_a_workshop(evaluate(compiled.postfix, scope.plan), compiled.dim, scope.units)
    except Refused as error:
        findings.add_refusal("formula", path, about, error)
        return None
    if dim is not None and compiled.dim != dim:
        what = f"{about}: “{text}” is {with_article(compiled.dim)}, not {with_article(dim)}."
        findings.error("wrong-kind", path, what, f"Write it in {UNITS.get(dim.name, 'the right units')}.")
        return None
    return CheckedFormula(compiled, plan)


def within_a_workshop(value: float, dim: Dim, units: Units) -> float:
    """The value itself. Raises NotAMeasure beyond MOST_VALUE, of areas and volumes beyond its powers."""
    if abs(value) > MOST_VALUE ** max(1, dim.length):
        raise NotAMeasure(
            f"It would be {show(value, dim, units)}, which no workshop has.",
            "Check the sizes for a wrong digit or unit.",
        )
    return value


def positive_value(
    text: str, scope: FormulaScope, path: Path, about: str, findings: FindingList, dim: Dim
) -> float | None:
    """The planned value of a formula in base units, above 0; None for "", and with a finding when it is wrong."""
    checked = checked_formula(text, scope, path, about, findings, dim) if text else None
    if checked is None or not is_positive(checked.plan, text, scope, path, about, findings, dim):
        return None
    return checked.plan


def values_text(formula: str, scope: FormulaScope) -> str:
    """The sizes that a formula names, with their planned values: ", with clear = 5 in"; "" when it names none."""
    tokens = dict.fromkeys(token.text for token in tokens_of(formula) if token.kind == "name")
    known = [name for name in tokens if name in scope.plan and name in scope.dims][:MOST_VALUES]
    values = [f"{name} = {show(scope.plan[name], scope.dims[name], scope.units)}" for name in known]
    return f", with {', '.join(values)}" if values else ""


def is_positive(
    value: float, text: str, scope: FormulaScope, path: Path, about: str, findings: FindingList, dim: Dim
) -> bool:
    """Whether a value is above 0; if not, add a finding. text: its formula."""
    if value > 0:
        return True
    what = f"{about} would be {show(value, dim, scope.units)}{values_text(text, scope)}."
    next_step = "Correct it: it must be above 0."
    findings.error("no-time" if dim == TIME else "no-size", path, what, next_step)
    return False


def positive_lengths(
    texts: Sequence[str], scope: FormulaScope, path: Path, about: str, findings: FindingList
) -> list[CheckedFormula]:
    """Formulas of lengths above 0; each wrong one gives a finding and is left out."""
    found = [(text, checked_formula(text, scope, path, about, findings, LENGTH)) for text in texts]
    return [one for text, one in found if one and is_positive(one.plan, text, scope, path, about, findings, LENGTH)]

"""Setups of the sheet, with each value's formula compiled and evaluated."""

from collections.abc import Collection, Iterable, Mapping

from benchbell.findings import Refused
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.formula import evaluate, names_in
from benchbell.recipe.measure import ANGLE, NUMBER, TOLERANCE, Units, show
from benchbell.recipe.named_sizes import CheckedFormula, FormulaScope, checked_formula
from benchbell.recipe.sheet import Formula, Setup, SetValue, Size
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.written import Recipe, SetupText
from benchbell.trade.stations import station_named

BOTH_SIGNS = (ANGLE, NUMBER)
"""What a setting may have on both sides of 0: a blade or fence tilts either way, and a dial may be marked so."""

MOST_ITEMS = 2000
"""The longest formula that is compared: a longer one is equal to itself only."""


def all_setups(recipe: Recipe, scope: FormulaScope, findings: FindingList) -> dict[str, Setup]:
    """Every setup by id. An id that is there twice gives a finding."""
    known: dict[str, Setup] = {}
    for row, written in enumerate(recipe.setup):
        path = ("setup", row)
        if written.id in known:
            findings.error("twice", path, f"There are two setups {written.id}.", "Give each its own id.")
        check_station(written.station, f"Setup {written.id}", (*path, "station"), findings)
        known[written.id] = setup_of(written, path, scope, findings)
    return known


def with_equals_shared(
    setups: Mapping[str, Setup], sizes: Iterable[Size], from_fragments: Collection[str]
) -> dict[str, Setup]:
    """By id, every setup; a fragment's that equals an earlier one is that one, so that a fence is set once.

    Equal are two of one station with the same values, whatever is measured, and with the same proof, needs and minutes.
    """
    computed = without_computed(sizes)
    first: dict[tuple[object, ...], str] = {}
    shared: dict[str, Setup] = {}
    for id, setup in setups.items():
        values = tuple(sorted((one.name, one.dim, rounded(flat(one.formula, computed))) for one in setup.set))
        same = first.setdefault((setup.station, values, setup.minutes, setup.prove, setup.needs), id)
        shared[id] = setups[same] if {same, id} & set(from_fragments) else setup
    return shared


def without_computed(sizes: Iterable[Size]) -> dict[str, Formula]:
    """By name, what each size is in measured sizes and plain numbers alone."""
    known: dict[str, Formula] = {}
    for size in sizes:  # in an order in which each depends on earlier ones only
        known[size.name] = (f"@{size.name}",) if size.measure else flat(size.formula, known)
    return known


def flat(formula: Formula, known: Mapping[str, Formula]) -> Formula:
    """A formula with each size replaced by what it is; a number when no measured size is left in it."""
    replaced = [known.get(item[1:], (item,)) if isinstance(item, str) else (item,) for item in formula]
    items = tuple(item for part in replaced for item in part)
    if names_in(items):
        return items if len(items) <= MOST_ITEMS else formula
    return (evaluate(items, {}),)


def rounded(formula: Formula) -> Formula:
    """A formula whose numbers have no last bits to differ in."""
    return tuple(item if isinstance(item, str) else round(item, 6) for item in formula)


def setup_of(written: SetupText, path: Path, scope: FormulaScope, findings: FindingList) -> Setup:
    """One setup; a value with a wrong formula, or one that no scale has, gives a finding and is left out."""
    values = []
    for name, text in written.set.items():
        at, about = (*path, "set", name), f"Setup {written.id}: {name}"
        checked = checked_formula(text, scope, at, about, findings)
        if checked and is_on_a_scale(checked, at, about, scope.units, findings):
            values.append(SetValue(name, checked.compiled.dim.name, checked.compiled.postfix, checked.plan))
    title = written.title or written.id.replace("-", " ").capitalize()
    return Setup(
        written.id, written.station, title, tuple(values), written.minutes, written.prove, tuple(written.needs)
    )


def is_on_a_scale(checked: CheckedFormula, path: Path, about: str, units: Units, findings: FindingList) -> bool:
    """Whether a machine can be set to a value; if not, add a finding. To 0 it can: a fence stands flush."""
    dim = checked.compiled.dim
    if dim in BOTH_SIGNS or checked.plan >= -TOLERANCE:
        return True
    what = f"{about} would be {show(checked.plan, dim, units)}, and no scale goes below 0 there."
    findings.error("no-size", path, what, "Correct it, or the sizes that it comes from; write the size as it is set.")
    return False


def check_station(name: str, about: str, path: Path, findings: FindingList) -> None:
    """Add a finding when there is no station of that name."""
    try:
        station_named(name)
    except Refused as error:
        findings.add_refusal("unknown-name", path, about, error)

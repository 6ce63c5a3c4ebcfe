"""Setups of the sheet, with each value's formula compiled and evaluated."""

from benchbell.findings import Refused
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.named_sizes import FormulaScope, checked_formula
from benchbell.recipe.sheet import Setup, SetValue
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.written import Recipe, SetupText
from benchbell.trade.stations import station_named


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


def setup_of(written: SetupText, path: Path, scope: FormulaScope, findings: FindingList) -> Setup:
    """One setup; a value with a wrong formula gives a finding and is left out."""
    values = [
        SetValue(name, checked.compiled.dim.name, checked.compiled.postfix, checked.plan)
        for name, text in written.set.items()
        if (checked := checked_formula(text, scope, (*path, "set", name), f"Setup {written.id}: {name}", findings))
    ]
    title = written.title or written.id.replace("-", " ").capitalize()
    return Setup(
        written.id, written.station, title, tuple(values), written.minutes, written.prove, tuple(written.needs)
    )


def check_station(name: str, about: str, path: Path, findings: FindingList) -> None:
    """Add a finding when there is no station of that name."""
    try:
        station_named(name)
    except Refused as error:
        findings.add_refusal("unknown-name", path, about, error)

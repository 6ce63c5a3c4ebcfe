"""Sizes whose unit was forgotten. Such a size is a bare number, which is right where it counts something, so that only
what uses it tells: by dozens of findings, where one unit is missing. It is tried what would be told if it had one.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from msgspec import Struct

from benchbell.findings import Finding, Refused
from benchbell.recipe.finding_list import About, FindingList, shortened
from benchbell.recipe.measure import NUMBER, read

MOST_TRIED = 8
"""The most sizes of a recipe that are tried."""

OF_KINDS = frozenset({"formula", "wrong-kind", "choice"})
"""The rules that find values of the wrong kind."""

UNITS = {"mm": "a length", "in": "a length", "deg": "an angle", "min": "a time"}
"""By unit that a bare number is tried with, what it is then."""

Found = Mapping[Finding, About]
Trial = Callable[[Mapping[str, str]], Found]
"""What is found in a recipe when sizes and choices, by name, have these units."""


class Bare(Struct, frozen=True):
    """A size or choice that is a bare number. table: "size" or "choice". text: the number as written."""

    table: str
    name: str
    text: str


def bare_numbers(table: Mapping[str, Any]) -> Iterator[Bare]:
    """The sizes and choices of a recipe's table that have no unit."""
    for name, size in table.get("size", {}).items():
        text = size if isinstance(size, str) else size["plan"]
        if is_bare(text):
            yield Bare("size", name, text)
    for name, choice in table.get("choice", {}).items():
        if isinstance(choice["default"], int) and not isinstance(choice["default"], bool):
            yield Bare("choice", name, str(choice["default"]))


def is_bare(text: str) -> bool:
    """Whether a text is a number without a unit."""
    try:
        return read(text).dim == NUMBER
    except Refused:
        return False


def with_units(table: dict[str, Any], units: Mapping[str, str]) -> dict[str, Any]:
    """A recipe's table in which the sizes and choices of these names have these units."""
    if not units:
        return table
    sizes, choices = dict(table.get("size", {})), dict(table.get("choice", {}))
    for name, unit in units.items():
        if name in sizes:
            size = sizes[name]
            sizes[name] = f"{size} {unit}" if isinstance(size, str) else size | {"plan": f"{size['plan']} {unit}"}
        elif name in choices:
            numbers = {key: choices[name][key] for key in ("default", "least", "most", "step") if key in choices[name]}
            choices[name] = choices[name] | {key: f"{value} {unit}" for key, value in numbers.items()}
    given = {"size": sizes, "choice": choices}
    return table | {key: value for key, value in given.items() if key in table}


def tell_missing_units(table: Mapping[str, Any], findings: FindingList, trial: Trial) -> None:
    """Put one finding, at a size without a unit, in place of all that are there only because it has none.

    table: the recipe, in its form.
    """
    known: dict[frozenset[tuple[str, str]], Found] = {}

    def tried(units: Mapping[str, str]) -> Found:
        key = frozenset(units.items())
        return known[key] if key in known else known.setdefault(key, trial(units))

    length = table.get("units", "mm")
    bare = list(bare_numbers(table))[:MOST_TRIED]
    units: dict[str, str] = {}
    for one in bare:
        for unit in units_wanted(findings.found, length):
            if one.name not in units and is_mended(findings.found, tried({**units, one.name: unit})):
                units[one.name] = unit
                tell(one, unit, tried(units), findings)
    left = [one for one in bare if one.name not in units]
    if len(left) > 1 and kind_errors(findings.found):
        together = used_together(left, units, length, tried)
        for one in left if is_mended(findings.found, tried(together)) else ():
            if one.name in together:
                tell(one, length, tried(together), findings)


def units_wanted(found: Found, length: str) -> list[str]:
    """The units that the errors about kinds may want. length: the recipe's unit of length, which they always may."""
    said = " ".join(finding.what for finding in kind_errors(found))
    others = {"angle": "deg", "time": "min"}
    return [length, *(unit for kind, unit in others.items() if re.search(rf"\b{kind}\b", said))] if said else []


def used_together(bare: Sequence[Bare], units: Mapping[str, str], length: str, trial: Trial) -> dict[str, str]:
    """Units with which the fewest values are of the wrong kind, where one size with its unit alone helps nothing.

    Begins with all of them, takes out each that is in the way, and then each that is not needed: what is in the way,
    such as a length where a count belongs, may hide the others. units: those that are known. length: the unit tried.
    """
    tried = {**units, **{one.name: length for one in bare}}
    for slack in (1, 0):
        for one in bare:
            fewer = {name: unit for name, unit in tried.items() if name != one.name}
            if len(kind_errors(trial(fewer))) + slack <= len(kind_errors(trial(tried))):
                tried = fewer
    return tried


def is_mended(found: Found, tried: Found) -> bool:
    """Whether fewer values are of the wrong kind, and no others than before."""
    return kind_errors(tried) < kind_errors(found)


def kind_errors(found: Found) -> set[Finding]:
    """The errors about a value of the wrong kind."""
    return {finding for finding in found if finding.grade == "error" and finding.rule in OF_KINDS}


def tell(one: Bare, unit: str, tried: Found, findings: FindingList) -> None:
    """Add the finding about a missing unit, and take away the errors that are gone with it."""
    for finding in list(findings.found):
        if finding.grade == "error" and finding.rule != "no-unit" and finding not in tried:
            del findings.found[finding]
    what = f"{one.table.capitalize()} {one.name}: “{shortened(one.text)}” has no unit, but is used as {UNITS[unit]}."
    next_step = f"Write it with its unit, such as {shortened(one.text)} {unit}."
    findings.error("no-unit", (one.table, one.name), what, next_step)

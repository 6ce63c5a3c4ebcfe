"""How small a part is where it is worked, and what holds it there."""

import re
from collections.abc import Iterable

from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.measure import LENGTH
from benchbell.recipe.named_sizes import FormulaScope, positive_value
from benchbell.recipe.pieces import is_cut_by_machine
from benchbell.recipe.sheet import Part
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.written import OperationText
from benchbell.trade.stations import Station, TooSmall, stations, too_small

HELD_BY = re.compile(r"\b(?:sled|carrier|jig|cradle)s?\b", re.IGNORECASE)
"""What holds a small part, by its word. Common practice, no source."""

SAWS = ("table saw", "mitre saw", "band saw")
CROSSCUTS = re.compile(r"\bcross-?cut|\bmit(?:re|er)\b", re.IGNORECASE)
"""Words of a sled that guides work past a saw, and past nothing else."""


def worked_in_lengths(written: OperationText, path: Path, scope: FormulaScope, findings: FindingList) -> float:
    """The length in mm in which an operation works its parts before they are cut to length; 0 when it says none."""
    about = f"Operation {written.id}: in_lengths"
    return positive_value(written.in_lengths, scope, (*path, "in_lengths"), about, findings, LENGTH) or 0


def small_measures(part: Part, station: Station, in_lengths_mm: float) -> tuple[TooSmall, ...]:
    """Each measure of a part below the station's usual least. Veneer has none, nor a part without three sizes."""
    if not is_cut_by_machine(part):
        return ()
    length, width, thickness = part.plan_mm
    return too_small(station, max(length, in_lengths_mm), width, thickness)


def is_held(texts: Iterable[str], station: str) -> bool:
    """Whether one of the things at hand is a sled, carrier, jig or cradle for that station."""
    return any(HELD_BY.search(text) and not is_of_another(text, station) for text in texts)


def is_of_another(text: str, station: str) -> bool:
    """Whether a sled or jig is named for another machine than this: a table saw's, or a crosscut sled at no saw."""
    of = {row.id for row in stations().values() if row.kind == "machine" and is_named((row.id, *row.also), text)}
    return station not in of if of else bool(CROSSCUTS.search(text)) and station not in SAWS


def is_named(names: Iterable[str], text: str) -> bool:
    """Whether one of the names stands in a text as whole words."""
    return any(re.search(rf"\b{re.escape(name)}\b", text, re.IGNORECASE) for name in names)

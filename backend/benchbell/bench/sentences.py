"""What a happening says, in one sentence: the same in the log, in its files and on every screen.

The sentences stand in happening_kinds.toml:
`{operation}` is a value; `{good?yes:no}` picks by a yes-no field; what stands in `[...]` is left out where a value in
it is empty. Values are never read as part of a sentence: a bracket in somebody's note stays what it is.
Twin: pwa/src/bench/sentences.ts.
"""

import re
from collections.abc import Callable, Mapping
from typing import Any

from msgspec import Struct

from benchbell.bench.clock_kinds import CLOCK_KINDS
from benchbell.bench.happening_kinds import HAPPENING_KINDS
from benchbell.bench.happenings import What
from benchbell.durations import MINUTE_MS
from benchbell.recipe.bounds import bounds_text, is_within
from benchbell.recipe.label_code import show_code
from benchbell.recipe.measure import TIME, Units, dim_named, plain, show
from benchbell.recipe.sheet import Sheet

FROM_A_NEWER_VERSION = "An entry that only a newer version can read."

OFF_FOR_UNKNOWN = "For how long it was off before is not known: what ran meanwhile may end later than shown."

OPTIONAL = re.compile(r"\[([^\]]*)\]")
PLACE = re.compile(r"\{(\w+)(?:\?([^:}]*):([^}]*))?\}")


class Wording(Struct, frozen=True):
    """How values are written. title: an id of the sheet as a person calls it."""

    sheet: Sheet
    units: Units
    title: Callable[[str], str]


def sentence_of(what: What | None, wording: Wording) -> str:
    """The sentence; None is a kind from a newer page."""
    if what is None:
        return FROM_A_NEWER_VERSION
    return filled(
        HAPPENING_KINDS[str(what.__struct_config__.tag)].sentence, lambda name: shown_value(name, what, wording)
    )


def filled(sentence: str, value: Callable[[str], str | bool]) -> str:
    """The sentence with its values."""

    def part(found: re.Match[str]) -> str:
        return "" if any(value(place[1]) == "" for place in PLACE.finditer(found[1])) else found[1]

    def place(found: re.Match[str]) -> str:
        name, yes, no = found.groups()
        return str(value(name)) if yes is None else yes if value(name) else no

    return PLACE.sub(place, OPTIONAL.sub(part, sentence))


def shown_value(name: str, what: Any, wording: Wording) -> str | bool:
    """One value of a sentence: a field of the happening as it is, or written by VALUES."""
    value: str | bool = VALUES[name](what, wording) if name in VALUES else getattr(what, name)
    return value


CLOCK_NAMES: Mapping[str, str] = {kind: row.name for kind, row in CLOCK_KINDS.items()}


def clock_name(kind: str) -> str:
    """A kind of clock as its card calls it; the kind itself where it is not known here."""
    return CLOCK_NAMES.get(kind, kind)


def figure(value: float | None) -> str:
    """A reading to a tenth; "" for none."""
    return "" if value is None else plain(value, 1)


def check_text(what: Any, wording: Wording) -> str:
    """What was looked at; its number, from 1, where the sheet does not have it."""
    op = next((op for op in wording.sheet.operations if op.id == what.operation), None)
    known = dict(enumerate(op.checks)) if op else {}
    return known.get(what.check, f"check {what.check + 1}")


def measured(what: Any, wording: Wording) -> str:
    """A size as measured."""
    size = next((one for one in wording.sheet.sizes if one.name == what.size), None)
    return show(what.value, dim_named(size.dim if size else "length"), wording.units)


def planned(what: Any, wording: Wording) -> str:
    """The drawing's value of a size; "" where the sheet has no such size."""
    size = next((one for one in wording.sheet.sizes if one.name == what.size), None)
    return show(size.plan, dim_named(size.dim), wording.units) if size else ""


def missed_bounds(what: Any, wording: Wording) -> str:
    """The bounds of a size that was measured out of them; "" where it is within them or has none."""
    size = next((one for one in wording.sheet.sizes if one.name == what.size), None)
    return "" if size is None or is_within(size, what.value) else bounds_text(size, wording.units)


def set_values(what: Any, wording: Wording) -> str:
    """Values as set, each beside its plan; "" where none was recorded."""
    setup = next((one for one in wording.sheet.setups if one.id == what.setup), None)
    plans = {value.name: value for value in setup.set} if setup else {}
    shown = []
    for name, value in what.values.items():
        plan = plans.get(name)
        dim = dim_named(plan.dim if plan else "number")
        beside = f" (planned {show(plan.plan, dim, wording.units)})" if plan else ""
        shown.append(f"{name} {show(value, dim, wording.units)}{beside}")
    return ", ".join(shown)


VALUES: Mapping[str, Callable[[Any, Wording], str | bool]] = {
    "title": lambda what, w: w.sheet.title,
    "pieces": lambda what, w: str(len(w.sheet.pieces)),
    "operation": lambda what, w: w.title(what.operation),
    "part": lambda what, w: w.title(what.part),
    "setup": lambda what, w: w.title(what.setup),
    "values": set_values,
    "celsius": lambda what, w: figure(what.celsius),
    "humidity": lambda what, w: figure(what.humidity),
    "clock": lambda what, w: clock_name(what.clock),
    "ring": lambda what, w: clock_name(what.ring.partition("|")[0]),
    "by_ms": lambda what, w: show(what.by_ms / MINUTE_MS, TIME, w.units),
    "far": lambda what, w: show(abs(what.by_ms) / MINUTE_MS, TIME, w.units),
    "is_forward": lambda what, w: what.by_ms > 0,
    "doubt": lambda what, w: "" if what.earlier_ms is None else OFF_FOR_UNKNOWN,
    "size": lambda what, w: re.sub("[-_]", " ", what.size),
    "piece": lambda what, w: what.piece if len(w.sheet.pieces) > 1 else "",
    "value": measured,
    "planned": planned,
    "bounds": missed_bounds,
    "check": check_text,
    "code": lambda what, w: show_code(what.code),
}
"""By name, how a value is written that is not a field's own text."""

"""A happening as a sentence, for the log's story."""

from collections.abc import Callable, Mapping
from typing import Any

from benchbell.bench.happenings import Happening
from benchbell.recipe.measure import TIME, dim_named, show
from benchbell.recipe.sheet import Sheet

MINUTE_MS = 60_000


def told(h: Happening, sheet: Sheet) -> str:
    """What happened, in words. A kind from a newer page says so."""
    if h.what is None:
        return "Something from a newer page, which this program cannot tell yet."
    kind = str(h.what.__struct_config__.tag)
    return SENTENCES[kind](h.what, titles(sheet), sheet)


def titles(sheet: Sheet) -> dict[str, str]:
    """By id, how operations, parts, assemblies and setups are called, with their piece."""
    named = [(op.id, op.piece, op.title) for op in sheet.operations]
    named += [(part.id, part.piece, part.title) for part in sheet.parts]
    named += [(assembly.id, assembly.piece, assembly.title) for assembly in sheet.assemblies]
    return {id: f"{title}, {piece}" if piece else title for id, piece, title in named} | {
        setup.id: setup.title for setup in sheet.setups
    }


def air(celsius: float | None, humidity: float | None) -> str:
    """Temperature and humidity in words."""
    parts = [] if celsius is None else [f"{celsius:g} °C"]
    parts += [] if humidity is None else [f"{humidity:g} %"]
    return f" at {', '.join(parts)}" if parts else ", air not recorded"


def because(reason: str) -> str:
    """A reason, where one was given."""
    return f": {reason}" if reason else ""


def set_values(what: Any, sheet: Sheet) -> str:
    """Values as set, each beside its plan."""
    setup = next((one for one in sheet.setups if one.id == what.setup), None)
    planned = {value.name: value for value in setup.set} if setup else {}
    shown = []
    for name, value in what.values.items():
        dim = dim_named(planned[name].dim) if name in planned else dim_named("number")
        plan = f" (planned {show(planned[name].plan, dim, sheet.units)})" if name in planned else ""
        shown.append(f"{name} {show(value, dim, sheet.units)}{plan}")
    return ", ".join(shown) or "values not recorded"


def measured(what: Any, sheet: Sheet) -> str:
    """A size as built, beside the drawing's."""
    size = next((one for one in sheet.sizes if one.name == what.size), None)
    dim = dim_named(size.dim if size else "length")
    plan = f", the drawing has {show(size.plan, dim, sheet.units)}" if size else ""
    piece = f" of piece {what.piece}" if what.piece else ""
    return f"Measured {what.size}{piece}: {show(what.value, dim, sheet.units)}{plan}."


Teller = Callable[[Any, Mapping[str, str], Sheet], str]

SENTENCES: dict[str, Teller] = {
    "started": lambda w, t, s: f"Build “{w.name}” started: {len(s.pieces)} × {s.title}.",
    "closed": lambda w, t, s: ("Build put away" if w.closed else "Build opened again") + because(w.reason) + ".",
    "began": lambda w, t, s: f"Began: {t.get(w.operation, w.operation)}.",
    "ticked": lambda w, t, s: f"{t.get(w.part, w.part)} is through {t.get(w.operation, w.operation)}.",
    "finished": lambda w, t, s: f"Finished: {t.get(w.operation, w.operation)}{because(w.reason)}.",
    "set-up": lambda w, t, s: (
        f"The {w.station} stands in {t.get(w.setup, w.setup)}, {'proved on scrap' if w.proved else 'not proved'}: "
        f"{set_values(w, s)}."
    ),
    "setup-broken": lambda w, t, s: f"The {w.station} was taken out of its setup.",
    "mixed": lambda w, t, s: f"Mixed for {t.get(w.operation, w.operation)}.",
    "glue-on": lambda w, t, s: f"Glue on: {t.get(w.operation, w.operation)}{air(w.celsius, w.humidity)}.",
    "clamped": lambda w, t, s: f"In clamps: {t.get(w.operation, w.operation)}.",
    "pared": lambda w, t, s: f"Squeeze-out pared: {t.get(w.operation, w.operation)}.",
    "clamps-off": lambda w, t, s: f"Clamps off: {t.get(w.operation, w.operation)}{because(w.reason)}.",
    "coat-on": lambda w, t, s: f"Coat on: {t.get(w.operation, w.operation)}{air(w.celsius, w.humidity)}.",
    "wiped-off": lambda w, t, s: f"Wiped off: {t.get(w.operation, w.operation)}.",
    "rags-safe": lambda w, t, s: f"Rags of {t.get(w.operation, w.operation)} are safe.",
    "lengthened": lambda w, t, s: (
        f"{t.get(w.operation, w.operation)}: {w.clock} runs {show(w.by_ms / MINUTE_MS, TIME, s.units)} longer"
        f"{because(w.reason)}."
    ),
    "acknowledged": lambda w, t, s: f"Heard: {w.ring.split('|')[0]} of {t.get(w.operation, w.operation)}.",
    "measured": lambda w, t, s: measured(w, s),
    "checked": lambda w, t, s: (
        f"{t.get(w.operation, w.operation)}: check {w.check + 1} {'good' if w.good else 'not good'}{because(w.note)}."
    ),
    "noted": lambda w, t, s: f"Note: {w.text}",
    "photo": lambda w, t, s: f"Photo taken{because(w.text)}.",
    "spoiled": lambda w, t, s: f"Spoiled: {t.get(w.part, w.part)}{because(w.reason)}.",
    "remade": lambda w, t, s: f"Made again: {t.get(w.part, w.part)}, new label {w.code[:4]}-{w.code[4:]}.",
    "conditions": lambda w, t, s: f"The air{air(w.celsius, w.humidity)}.",
    "kept": lambda w, t, s: f"Setting {w.setting} kept.",
    "undone": lambda w, t, s: "Undone: an earlier entry.",
}
"""By kind of happening, its sentence."""

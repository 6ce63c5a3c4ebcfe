"""The clocks of an operation: from its glue, its finish, or a wait that the recipe asks for."""

from typing import cast, get_args

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.recipe.lines import Path
from benchbell.recipe.measure import TIME
from benchbell.recipe.named import Names, figure_of
from benchbell.recipe.notes import Notes
from benchbell.recipe.sheet import ClockKind, ClockSpec, Figure
from benchbell.recipe.shop import Shop
from benchbell.recipe.written import CoatText, GlueText, OperationText
from benchbell.trade.finish import Finish, cure_minutes, finish_named, handle_minutes, recoat_minutes
from benchbell.trade.glue import Deadline, Glue, Wait, deadline_ms, glue_named, origin, wait_ms

MINUTE_MS = 60_000
RAGS_AFTER_MINUTES = 15
"""When to ask for the rags of a finish that is not wiped off. Common practice, no source."""


DEADLINES = ("open", "pot")
"""Columns that tell by when one must go on; the others tell when one may."""


class Row(Struct, frozen=True):
    """How a glue's figure becomes a clock. own: the word by which a recipe overrides it."""

    kind: ClockKind
    starts: str
    ends: tuple[str, ...]
    column: Figure
    figure: str
    own: str


GLUE_CLOCKS = (
    Row("pot", "mixed", ("clamped",), "pot", "pot_minutes", ""),
    Row("open", "glue-on", ("clamped",), "open", "open_minutes", "open"),
    Row("in-clamps", "clamped", ("clamps-off",), "clamp", "clamp_minutes", "clamp"),
    Row("rest", "clamped", (), "machine", "machine_minutes", "rest"),
)


def glue_of(written: GlueText, shop: Shop, path: Path, notes: Notes) -> Glue | None:
    """The glue with its label's figures; None, and a finding, when there is no such glue."""
    try:
        return glue_named(written.with_, shop.labels.get(written.with_))
    except Refused as error:
        notes.error("unknown-name", path, error.what, error.next_step)
        return None


def finish_of(written: CoatText, path: Path, notes: Notes) -> Finish | None:
    """The finish; None, and a finding, when there is no such finish."""
    try:
        return finish_named(written.with_)
    except Refused as error:
        notes.error("unknown-name", path, error.what, error.next_step)
        return None


def minutes_of(text: str, names: Names, path: Path, about: str, notes: Notes) -> float | None:
    """A written time in minutes; None when nothing, or nothing sound, is written."""
    if not text:
        return None
    figure = figure_of(text, names, path, about, notes, TIME)
    return None if figure is None else figure.plan


def ms(minutes: float) -> int:
    """Minutes as whole milliseconds."""
    return round(minutes * MINUTE_MS)


def glue_clocks(
    written: GlueText, about: str, path: Path, glue: Glue, shop: Shop, names: Names, notes: Notes
) -> tuple[ClockSpec, ...]:
    """Open time, squeeze-out, clamps and rest of a glue-up; pot life where something is mixed."""
    clocks = []
    for row in GLUE_CLOCKS:
        if row.column == "pot" and glue.pot_minutes is None:
            continue
        column, figure = row.column, row.figure
        if written.stressed and column == "clamp":
            column, figure = "stressed_clamp", "stressed_clamp_minutes"
        own = getattr(written, row.own) if row.own else ""
        typed = minutes_of(own, names, path, f"Operation {about}, {row.own}", notes)
        planned = planned_ms(glue, figure, shop) if typed is None else ms(typed)
        deadline = column in DEADLINES
        clocks.append(
            ClockSpec(
                kind=row.kind,
                starts=row.starts,
                ends=row.ends,
                least_ms=None if deadline else planned,
                most_ms=planned if deadline else None,
                source=f"{glue.title}: {origin(glue, figure)}" if typed is None else "from the recipe",
                figure=column if typed is None else None,
                glue=glue.id,
            )
        )
    return (*clocks, *squeeze_out(glue))


def planned_ms(glue: Glue, figure: str, shop: Shop) -> int:
    """A figure in the shop's usual air; where that is too cold, at the least temperature the glue can stand."""
    celsius = max(shop.celsius, glue.least_celsius)
    if figure in get_args(Deadline):
        return deadline_ms(glue, cast(Deadline, figure), celsius, shop.humidity)
    return wait_ms(glue, cast(Wait, figure), celsius, shop.humidity)


def squeeze_out(glue: Glue) -> tuple[ClockSpec, ...]:
    """When to pare what was squeezed out, while it is rubbery."""
    if glue.pare_minutes is None:
        return ()
    least, most = glue.pare_minutes
    source = f"{glue.title}: common practice, no source"
    return (ClockSpec("squeeze-out", "clamped", ("pared", "clamps-off"), ms(least), ms(most), source),)


def coat_clocks(
    written: CoatText,
    about: str,
    path: Path,
    finish: Finish,
    is_last: bool,
    shop: Shop,
    names: Names,
    notes: Notes,
) -> tuple[ClockSpec, ...]:
    """Wiping off, recoating or handling, cure and rags of a coat."""
    celsius, humidity = max(shop.celsius, finish.least_celsius), min(shop.humidity, finish.most_humidity_percent)
    source = f"{finish.title}: typical of its class, {finish.grade}"
    clocks = []
    if finish.pot_minutes is not None:
        clocks.append(ClockSpec("pot", "mixed", ("finished",), None, ms(finish.pot_minutes), source))
    if finish.wipe_to_minutes is not None:
        least, most = ms(finish.wipe_from_minutes or 0), ms(finish.wipe_to_minutes)
        clocks.append(ClockSpec("wipe-off", "coat-on", ("wiped-off",), least, most, source))
    if finish.oily_rags:
        after = ms(finish.wipe_to_minutes or RAGS_AFTER_MINUTES)
        clocks.append(
            ClockSpec("rags", "coat-on", ("rags-safe",), after, None, "oily rags can take fire by themselves")
        )
    typed = minutes_of(written.recoat, names, path, f"Operation {about}, recoat", notes)
    usual = recoat_minutes(finish, celsius, humidity)
    wait = typed if typed is not None else usual
    if not is_last and wait is not None:
        most_minutes = finish.recoat_most_minutes
        window = None if most_minutes is None else ms(most_minutes)
        told = "from the recipe" if typed is not None else source
        clocks.append(ClockSpec("recoat", "coat-on", (), ms(wait), window, told))
    if is_last:
        clocks.append(ClockSpec("rest", "coat-on", (), ms(handle_minutes(finish, celsius, humidity)), None, source))
        clocks.append(ClockSpec("cure", "coat-on", (), ms(cure_minutes(finish, celsius, humidity)), None, source))
    return tuple(clocks)


def wait_clocks(written: OperationText, row: int, names: Names, notes: Notes) -> tuple[ClockSpec, ...]:
    """The rest a recipe asks for after an operation."""
    path = ("operation", row, "wait")
    least = minutes_of(written.wait, names, path, f"Operation {written.id}, wait", notes)
    most = minutes_of(written.wait_most, names, path, f"Operation {written.id}, wait_most", notes)
    if least is None:
        return ()
    if most is not None and most < least:
        notes.error(
            "wait-window",
            path,
            f"Operation {written.id} waits at least {written.wait} and at most {written.wait_most}.",
            "Make wait_most the longer of the two.",
        )
    return (ClockSpec("rest", "finished", (), ms(least), None if most is None else ms(most), "from the recipe"),)

"""The clocks of an operation: from its glue, its finish, or a wait that the recipe asks for."""

from typing import cast, get_args

from msgspec import Struct

from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused
from benchbell.recipe.measure import TIME, show
from benchbell.recipe.named_sizes import Names, above_zero
from benchbell.recipe.notes import Notes
from benchbell.recipe.sheet import ClockKind, ClockSpec, Figure
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.written import OperationText
from benchbell.trade.finish import Finish, cure_minutes, finish_named, handle_minutes, recoat_minutes
from benchbell.trade.glue import Deadline, Glue, Wait, deadline_ms, glue_named, origin, wait_ms

RAGS_AFTER_MINUTES = 15
"""When to ask for the rags of a finish that is not wiped off. Common practice, no source."""

DEADLINES = ("open", "pot")
"""Columns that tell by when one must go on; the others tell when one may."""

FROM_RECIPE = "from the recipe"


class Row(Struct, frozen=True):
    """How a glue's figure becomes a clock. own: the key by which a recipe overrides it."""

    kind: ClockKind
    starts: str
    ends: tuple[str, ...]
    column: Figure
    figure: str
    own: str


GLUE_CLOCKS = (
    Row("pot", "mixed", ("clamped",), "pot", "pot_minutes", "pot"),
    Row("open", "glue-on", ("clamped",), "open", "open_minutes", "open"),
    Row("in-clamps", "clamped", ("clamps-off",), "clamp", "clamp_minutes", "clamp"),
    Row("rest", "clamped", (), "machine", "machine_minutes", "rest"),
)
STRESSED = Row("in-clamps", "clamped", ("clamps-off",), "stressed_clamp", "stressed_clamp_minutes", "clamp")
"""In place of the clamp row, for bent work and loaded joints."""


def glue_of(written: OperationText, row: int, shop: ShopProfile, notes: Notes) -> Glue | None:
    """The glue with its label's figures; None where there is none, or, with a finding, none of that name."""
    if written.glue is None:
        return None
    name = written.glue.with_
    try:
        return glue_named(name, shop.labels.get(name))
    except Refused as error:
        notes.refused("unknown-name", ("operation", row, "glue", "with"), f"Operation {written.id}", error)
        return None


def finish_of(written: OperationText, row: int, notes: Notes) -> Finish | None:
    """The finish; None where there is none, or, with a finding, none of that name."""
    if written.coat is None:
        return None
    try:
        return finish_named(written.coat.with_)
    except Refused as error:
        notes.refused("unknown-name", ("operation", row, "coat", "with"), f"Operation {written.id}", error)
        return None


def ms(minutes: float) -> int:
    """Minutes as whole milliseconds."""
    return round(minutes * MINUTE_MS)


def glue_clocks(
    written: OperationText, row: int, shop: ShopProfile, names: Names, notes: Notes
) -> tuple[ClockSpec, ...]:
    """Open time, squeeze-out, clamps and rest of a glue-up; pot life where something is mixed."""
    glue = glue_of(written, row, shop, notes)
    if glue is None or written.glue is None:
        return ()
    clocks = []
    for usual in GLUE_CLOCKS:
        clock = STRESSED if usual.column == "clamp" and written.glue.stressed else usual
        path, about = ("operation", row, "glue", clock.own), f"Operation {written.id}: {clock.own}"
        typed = above_zero(getattr(written.glue, clock.own), names, path, about, notes, TIME)
        if typed is not None or getattr(glue, clock.figure) is not None:
            clocks.append(glue_clock(clock, glue, shop, typed))
    return (*clocks, *squeeze_out(glue))


def glue_clock(row: Row, glue: Glue, shop: ShopProfile, typed: float | None) -> ClockSpec:
    """One clock of a glue-up. typed: minutes from the recipe, in place of the glue's."""
    planned = planned_ms(glue, row.figure, shop) if typed is None else ms(typed)
    deadline = row.column in DEADLINES
    return ClockSpec(
        kind=row.kind,
        starts=row.starts,
        ends=row.ends,
        least_ms=None if deadline else planned,
        most_ms=planned if deadline else None,
        source=f"{glue.title}: {origin(glue, row.figure)}" if typed is None else FROM_RECIPE,
        figure=row.column if typed is None else None,
        glue=glue.id,
    )


def with_glue(spec: ClockSpec, glue: Glue, shop: ShopProfile) -> ClockSpec:
    """The same clock as another glue would have it; a time from the recipe, or one that glue lacks, stays."""
    row = next((row for row in (*GLUE_CLOCKS, STRESSED) if row.column == spec.figure), None)
    return spec if row is None or getattr(glue, row.figure) is None else glue_clock(row, glue, shop, None)


def planned_ms(glue: Glue, figure: str, shop: ShopProfile) -> int:
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
    written: OperationText, row: int, is_last: bool, shop: ShopProfile, names: Names, notes: Notes
) -> tuple[ClockSpec, ...]:
    """Pot life, wiping off, rags, and then either the next coat's window or handling and cure."""
    finish = finish_of(written, row, notes)
    if finish is None:
        return ()
    source = f"{finish.title}: typical of its class, {finish.grade}"
    recoat = recoat_clock(written, row, finish, source, shop, names, notes)
    after = drying(finish, source, shop) if is_last else (recoat,) if recoat else ()
    return (*putting_on(finish, source), *after)


def putting_on(finish: Finish, source: str) -> tuple[ClockSpec, ...]:
    """The clocks that run while a coat goes on."""
    clocks = []
    if finish.pot_minutes is not None:
        clocks.append(ClockSpec("pot", "mixed", ("finished",), None, ms(finish.pot_minutes), source))
    if finish.wipe_to_minutes is not None:
        least, most = ms(finish.wipe_from_minutes or 0), ms(finish.wipe_to_minutes)
        clocks.append(ClockSpec("wipe-off", "coat-on", ("wiped-off",), least, most, source))
    if finish.oily_rags:
        after, why = ms(finish.wipe_to_minutes or RAGS_AFTER_MINUTES), "oily rags can take fire by themselves"
        clocks.append(ClockSpec("rags", "coat-on", ("rags-safe",), after, None, why))
    return tuple(clocks)


def recoat_clock(
    written: OperationText, row: int, finish: Finish, source: str, shop: ShopProfile, names: Names, notes: Notes
) -> ClockSpec | None:
    """The window in which the next coat goes on; None where one coat is all and nothing else is written."""
    coat = written.coat
    if coat is None:
        return None
    path, about = ("operation", row, "coat"), f"Operation {written.id}"
    least = above_zero(coat.recoat, names, (*path, "recoat"), f"{about}: recoat", notes, TIME)
    most = above_zero(coat.recoat_most, names, (*path, "recoat_most"), f"{about}: recoat_most", notes, TIME)
    wait = least if least is not None else recoat_minutes(finish, *dry_air(finish, shop))
    end = most if most is not None else finish.recoat_most_minutes
    if wait is None:
        return None
    if most is not None and most < wait:
        what = f"{about} recoats after {show(wait, TIME, 'mm')} at least and {show(most, TIME, 'mm')} at most."
        notes.error("wait-window", (*path, "recoat_most"), what, "Make recoat_most the longer of the two.")
    told = source if least is None and most is None else FROM_RECIPE
    return ClockSpec("recoat", "coat-on", (), ms(wait), None if end is None else ms(end), told)


def drying(finish: Finish, source: str, shop: ShopProfile) -> tuple[ClockSpec, ...]:
    """After the last coat: when it may be handled, and when it is cured."""
    handle, cure = (of(finish, *dry_air(finish, shop)) for of in (handle_minutes, cure_minutes))
    return (
        ClockSpec("rest", "coat-on", (), ms(handle), None, source),
        ClockSpec("cure", "coat-on", (), ms(cure), None, source),
    )


def dry_air(finish: Finish, shop: ShopProfile) -> tuple[float, float]:
    """The shop's usual °C and percent; where the finish would not dry, the least and most it can stand."""
    return max(shop.celsius, finish.least_celsius), min(shop.humidity, finish.most_humidity_percent)


def wait_clocks(written: OperationText, row: int, names: Names, notes: Notes) -> tuple[ClockSpec, ...]:
    """The rest a recipe asks for after an operation."""
    path, about = ("operation", row), f"Operation {written.id}"
    least = above_zero(written.wait, names, (*path, "wait"), f"{about}: wait", notes, TIME)
    most = above_zero(written.wait_most, names, (*path, "wait_most"), f"{about}: wait_most", notes, TIME)
    if written.wait_most and not written.wait:
        notes.error("wait-window", (*path, "wait_most"), f"{about} has wait_most and no wait.", "Add wait.")
    if least is None:
        return ()
    if most is not None and most < least:
        what = f"{about} waits {written.wait} at least and {written.wait_most} at most."
        notes.error("wait-window", (*path, "wait_most"), what, "Make wait_most the longer of the two.")
    return (ClockSpec("rest", "finished", (), ms(least), None if most is None else ms(most), FROM_RECIPE),)

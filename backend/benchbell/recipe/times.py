"""The clocks of an operation: from its glue, its finish, or a wait in the recipe."""

from typing import cast, get_args

from msgspec import Struct

from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.measure import TIME, show
from benchbell.recipe.named_sizes import FormulaScope, positive_value
from benchbell.recipe.sheet import ClockKind, ClockSpec, Figure, Operation
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.written import OperationText
from benchbell.trade.finish import Finish, cure_minutes, finish_named, handle_minutes, recoat_minutes
from benchbell.trade.glue import Deadline, Glue, Wait, deadline_ms, glue_named, origin, wait_ms

RAGS_AFTER_MINUTES = 15
"""When the rags clock of a finish that is not wiped off is due. Common practice, no source."""

DEADLINES = ("open", "pot")
"""Columns that are deadlines; the others are waits."""

FROM_RECIPE = "from the recipe"


class GlueClock(Struct, frozen=True):
    """How a glue's figure becomes a clock. column: of the FigureGrid. own: the recipe's key that overrides it."""

    kind: ClockKind
    starts: str
    ends: tuple[str, ...]
    column: Figure
    figure: str
    own: str


GLUE_CLOCKS = (
    GlueClock("pot", "mixed", ("clamped",), "pot", "pot_minutes", "pot"),
    GlueClock("open", "glue-on", ("clamped",), "open", "open_minutes", "open"),
    GlueClock("in-clamps", "clamped", ("clamps-off",), "clamp", "clamp_minutes", "clamp"),
    GlueClock("rest", "clamped", (), "machine", "machine_minutes", "rest"),
)
STRESSED = GlueClock("in-clamps", "clamped", ("clamps-off",), "stressed_clamp", "stressed_clamp_minutes", "clamp")
"""Replaces the clamp row for bent work and loaded joints."""


def glue_of(written: OperationText, row: int, shop: ShopProfile, findings: FindingList) -> Glue | None:
    """The glue with its label's figures; None when nothing is glued, or with a finding when the glue is unknown."""
    if written.glue is None:
        return None
    name = written.glue.with_
    try:
        return glue_named(name, shop.labels.get(name))
    except Refused as error:
        findings.add_refusal("unknown-name", ("operation", row, "glue", "with"), f"Operation {written.id}", error)
        return None


def finish_of(written: OperationText, row: int, findings: FindingList) -> Finish | None:
    """The finish of a coat; None when nothing is coated, or with a finding when the finish is unknown."""
    if written.coat is None:
        return None
    try:
        return finish_named(written.coat.with_)
    except Refused as error:
        findings.add_refusal("unknown-name", ("operation", row, "coat", "with"), f"Operation {written.id}", error)
        return None


def ms(minutes: float) -> int:
    """Minutes as whole milliseconds."""
    return round(minutes * MINUTE_MS)


def glue_clocks(
    written: OperationText, row: int, shop: ShopProfile, scope: FormulaScope, findings: FindingList
) -> tuple[ClockSpec, ...]:
    """The clocks of a glue-up: open time, squeeze-out, clamps, rest, and pot life of a glue that is mixed."""
    glue = glue_of(written, row, shop, findings)
    if glue is None or written.glue is None:
        return ()
    clocks = []
    for usual in GLUE_CLOCKS:
        clock = STRESSED if usual.column == "clamp" and written.glue.stressed else usual
        path, about = ("operation", row, "glue", clock.own), f"Operation {written.id}: {clock.own}"
        own_minutes = positive_value(getattr(written.glue, clock.own), scope, path, about, findings, TIME)
        if own_minutes is not None or getattr(glue, clock.figure) is not None:
            clocks.append(glue_clock(clock, glue, shop, own_minutes))
    return (*clocks, *squeeze_out(glue))


def glue_clock(kind: GlueClock, glue: Glue, shop: ShopProfile, own_minutes: float | None) -> ClockSpec:
    """One clock of a glue-up. own_minutes: from the recipe, in place of the glue's figure, or None."""
    planned = planned_ms(glue, kind.figure, shop) if own_minutes is None else ms(own_minutes)
    deadline = kind.column in DEADLINES
    return ClockSpec(
        kind=kind.kind,
        starts=kind.starts,
        ends=kind.ends,
        least_ms=None if deadline else planned,
        most_ms=planned if deadline else None,
        source=f"{glue.title}: {origin(glue, kind.figure)}" if own_minutes is None else FROM_RECIPE,
        figure=kind.column if own_minutes is None else None,
        glue=glue.id,
    )


def with_glue(spec: ClockSpec, glue: Glue, shop: ShopProfile) -> ClockSpec:
    """The clock with another glue's figure. A time from the recipe stays, and so does one that the other glue lacks."""
    kind = next((kind for kind in (*GLUE_CLOCKS, STRESSED) if kind.column == spec.figure), None)
    return spec if kind is None or getattr(glue, kind.figure) is None else glue_clock(kind, glue, shop, None)


def planned_ms(glue: Glue, figure: str, shop: ShopProfile) -> int:
    """A glue's figure in the shop's usual air, in ms; in a shop too cold for it, at the glue's least temperature."""
    celsius = max(shop.celsius, glue.least_celsius)
    if figure in get_args(Deadline):
        return deadline_ms(glue, cast(Deadline, figure), celsius, shop.humidity)
    return wait_ms(glue, cast(Wait, figure), celsius, shop.humidity)


def assembly_minutes(op: Operation, shop: ShopProfile) -> float:
    """Minutes of a glue-up from the first glue until the clamps must be tight, in the shop's usual air.

    That is the glue's closed assembly time, or the recipe's own open time where that is longer.
    """
    glue = glue_named(op.glue, shop.labels.get(op.glue))
    opened = (clock.most_ms or 0 for clock in op.clocks if clock.kind == "open")
    return max((planned_ms(glue, "assembly_minutes", shop), *opened)) / MINUTE_MS


def squeeze_out(glue: Glue) -> tuple[ClockSpec, ...]:
    """The clock for paring squeeze-out while it is rubbery; none for a glue without such a time."""
    if glue.pare_minutes is None:
        return ()
    least, most = glue.pare_minutes
    source = f"{glue.title}: common practice, no source"
    return (ClockSpec("squeeze-out", "clamped", ("pared", "clamps-off"), ms(least), ms(most), source),)


def coat_clocks(
    written: OperationText, row: int, is_last: bool, shop: ShopProfile, scope: FormulaScope, findings: FindingList
) -> tuple[ClockSpec, ...]:
    """The clocks of a coat: pot life, wiping off, rags, then recoat, or rest and cure after the last coat."""
    finish = finish_of(written, row, findings)
    if finish is None:
        return ()
    source = f"{finish.title}: typical of its class, {finish.grade}"
    recoat = recoat_clock(written, row, finish, source, shop, scope, findings)
    after = drying(finish, source, shop) if is_last else (recoat,) if recoat else ()
    return (*putting_on(finish, source), *after)


def putting_on(finish: Finish, source: str) -> tuple[ClockSpec, ...]:
    """The clocks that start while a coat is put on."""
    clocks = []
    if finish.pot_minutes is not None:
        clocks.append(ClockSpec("pot", "mixed", ("finished",), None, ms(finish.pot_minutes), source))
    if finish.wipe_to_minutes is not None:
        least, most = ms(finish.wipe_from_minutes or 0), ms(finish.wipe_to_minutes)
        clocks.append(ClockSpec("wipe-off", "coat-on", ("wiped-off",), least, most, source))
    if finish.oily_rags:
        after, why = ms(finish.wipe_to_minutes or RAGS_AFTER_MINUTES), "oily rags can catch fire by themselves"
        clocks.append(ClockSpec("rags", "coat-on", ("rags-safe",), after, None, why))
    return tuple(clocks)


def recoat_clock(
    written: OperationText,
    row: int,
    finish: Finish,
    source: str,
    shop: ShopProfile,
    scope: FormulaScope,
    findings: FindingList,
) -> ClockSpec | None:
    """The clock of the window for the next coat; None for a finish of one coat without a recoat time."""
    coat = written.coat
    if coat is None:
        return None
    path, about = ("operation", row, "coat"), f"Operation {written.id}"
    least = positive_value(coat.recoat, scope, (*path, "recoat"), f"{about}: recoat", findings, TIME)
    most = positive_value(coat.recoat_most, scope, (*path, "recoat_most"), f"{about}: recoat_most", findings, TIME)
    wait = least if least is not None else recoat_minutes(finish, *dry_air(finish, shop))
    end = most if most is not None else finish.recoat_most_minutes
    if wait is None:
        return None
    if most is not None and most < wait:
        what = f"{about} recoats after at least {show(wait, TIME, 'mm')} and at most {show(most, TIME, 'mm')}."
        findings.error("wait-window", (*path, "recoat_most"), what, "Make recoat_most longer than recoat.")
    origin_text = source if least is None and most is None else FROM_RECIPE
    return ClockSpec("recoat", "coat-on", (), ms(wait), None if end is None else ms(end), origin_text)


def drying(finish: Finish, source: str, shop: ShopProfile) -> tuple[ClockSpec, ...]:
    """The clocks after the last coat: rest until it may be handled, and cure."""
    handle, cure = (of(finish, *dry_air(finish, shop)) for of in (handle_minutes, cure_minutes))
    return (
        ClockSpec("rest", "coat-on", (), ms(handle), None, source),
        ClockSpec("cure", "coat-on", (), ms(cure), None, source),
    )


def dry_air(finish: Finish, shop: ShopProfile) -> tuple[float, float]:
    """The shop's usual °C and humidity in percent, kept within the finish's limits for drying."""
    return max(shop.celsius, finish.least_celsius), min(shop.humidity, finish.most_humidity_percent)


def wait_clocks(written: OperationText, row: int, scope: FormulaScope, findings: FindingList) -> tuple[ClockSpec, ...]:
    """The rest clock of an operation's wait in the recipe; none without a wait."""
    path, about = ("operation", row), f"Operation {written.id}"
    least = positive_value(written.wait, scope, (*path, "wait"), f"{about}: wait", findings, TIME)
    most = positive_value(written.wait_most, scope, (*path, "wait_most"), f"{about}: wait_most", findings, TIME)
    if written.wait_most and not written.wait:
        findings.error("wait-window", (*path, "wait_most"), f"{about} has wait_most but no wait.", "Add wait.")
    if least is None:
        return ()
    if most is not None and most < least:
        what = f"{about} waits at least {written.wait} and at most {written.wait_most}."
        findings.error("wait-window", (*path, "wait_most"), what, "Make wait_most longer than wait.")
    return (ClockSpec("rest", "finished", (), ms(least), None if most is None else ms(most), FROM_RECIPE),)

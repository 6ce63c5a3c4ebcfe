"""The clocks of an operation: from its glue, or a wait in the recipe; those of a coat are in coat_times.py."""

from typing import cast, get_args

from msgspec import Struct

from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.measure import TIME
from benchbell.recipe.named_sizes import FormulaScope, positive_value
from benchbell.recipe.sheet import ClockKind, ClockSpec, Figure, Operation
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.written import OperationText
from benchbell.trade.glue import Deadline, Glue, Wait, deadline_ms, glue_named, origin, wait_ms
from benchbell.trade.pressings import PRESSES

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


def ms(minutes: float) -> int:
    """Minutes as whole milliseconds."""
    return round(minutes * MINUTE_MS)


def glue_clocks(
    written: OperationText, row: int, shop: ShopProfile, scope: FormulaScope, findings: FindingList
) -> tuple[ClockSpec, ...]:
    """The clocks of a glue-up: open time, squeeze-out, clamps, rest, and pot life of a glue that is mixed.

    In a press nobody can pare squeeze-out.
    """
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
    return tuple(clocks) if written.press in PRESSES else (*clocks, *squeeze_out(glue))


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


def wait_clocks(written: OperationText, row: int, scope: FormulaScope, findings: FindingList) -> tuple[ClockSpec, ...]:
    """The rest clock of an operation's wait in the recipe; none without a wait."""
    least, most = wait_of(written, row, scope, findings)
    if least is None:
        return ()
    return (ClockSpec("rest", "finished", (), ms(least), None if most is None else ms(most), FROM_RECIPE),)


def wait_of(
    written: OperationText, row: int, scope: FormulaScope, findings: FindingList
) -> tuple[float | None, float | None]:
    """The least and the greatest wait of an operation in minutes, None where the recipe has none."""
    path, about = ("operation", row), f"Operation {written.id}"
    least = positive_value(written.wait, scope, (*path, "wait"), f"{about}: wait", findings, TIME)
    most = positive_value(written.wait_most, scope, (*path, "wait_most"), f"{about}: wait_most", findings, TIME)
    if written.wait_most and not written.wait:
        findings.error("wait-window", (*path, "wait_most"), f"{about} has wait_most but no wait.", "Add wait.")
    if least is not None and most is not None and most < least:
        what = f"{about} waits at least {written.wait} and at most {written.wait_most}."
        findings.error("wait-window", (*path, "wait_most"), what, "Make wait_most longer than wait.")
    return least, most

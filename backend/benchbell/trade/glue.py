"""Glues by class: how long a glue-up may stay open, and how long it must stay in clamps.

A deadline (open, assembly, pot) is never longer than the table's figure, and a wait (dry, clamp, machine, cure) never
shorter: heat and dry air shorten deadlines, cold and damp air lengthen waits. Every figure is common practice, unless
the container's label was entered, which comes first.
"""

from collections.abc import Mapping
from functools import cache
from math import ceil, floor
from typing import Any, Literal

from msgspec import Struct, structs

from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused, TooCold
from benchbell.trade.air import MOST_CELSIUS, degrees, require_usual
from benchbell.trade.cure_factors import SetsBy, deadline_factor, wait_factor
from benchbell.trade.places import Place
from benchbell.trade.tables import Grade, named, read, unknown

Deadline = Literal["open_minutes", "assembly_minutes", "pot_minutes"]
Wait = Literal["dry_minutes", "clamp_minutes", "stressed_clamp_minutes", "machine_minutes", "cure_minutes"]
Range = tuple[float, float]

ON_THE_LABEL = (
    *("open_minutes", "assembly_minutes", "pot_minutes", "dry_minutes", "clamp_minutes", "stressed_clamp_minutes"),
    *("machine_minutes", "cure_minutes", "least_celsius", "at_celsius"),
)


class GlueRow(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A class of glue with the trade's ranges; tables/glues.toml explains every field."""

    id: str
    title: str
    also: tuple[str, ...] = ()
    sets_by: SetsBy
    service: str
    good_for: Place
    creeps: bool = False
    mixed_with_water: bool = False
    open_minutes: Range
    assembly_minutes: Range
    pot_minutes: Range | None = None
    dry_minutes: Range = (0, 0)
    clamp_minutes: Range
    stressed_clamp_minutes: Range
    machine_minutes: Range
    cure_minutes: Range
    pare_minutes: Range | None = None
    least_celsius: float
    at_celsius: float
    cautions: tuple[str, ...]
    note: str
    grade: Grade
    source: str


class Glue(Struct, frozen=True, kw_only=True):
    """A glue with one value for each figure, before temperature and humidity change it.

    Deadlines count from the first spread, waits from clamping (dry_minutes from spreading), pot_minutes from mixing.
    pare_minutes: from when to when after clamping squeeze-out may be pared; None when there is no usual time.
    good_for: the harshest place where it lasts. creeps: it gives way under steady load.
    at_celsius: where the class's figures hold; label_at_celsius: where the label's figures hold.
    from_label: names of the figures from the container's label.
    """

    id: str
    title: str
    sets_by: SetsBy
    service: str
    good_for: Place
    creeps: bool
    open_minutes: float
    assembly_minutes: float
    pot_minutes: float | None
    dry_minutes: float
    clamp_minutes: float
    stressed_clamp_minutes: float
    machine_minutes: float
    cure_minutes: float
    pare_minutes: Range | None
    least_celsius: float
    at_celsius: float
    label_at_celsius: float
    from_label: tuple[str, ...]
    cautions: tuple[str, ...]
    note: str
    grade: Grade
    source: str


@cache
def glues() -> dict[str, GlueRow]:
    """All classes of glue by id, with the trade's ranges."""
    return read("glues", GlueRow)


def glue_named(name: str, label: Mapping[str, float] | None = None) -> Glue:
    """The glue of that id. Figures of its container's label replace those of its class.

    label: any of ON_THE_LABEL, minutes and degrees Celsius; at_celsius is where the label's figures hold.
    Raises UnknownName when the glue or a figure is unknown, Refused when a figure is out of range.
    """
    row = named(glues(), "glue", name)
    entered = dict(label or {})
    for figure, value in entered.items():
        require_figure(row.id, figure, value)
    label_at = entered.pop("at_celsius", row.at_celsius)
    figures = {**structs.asdict(row), **careful_ends(row), **entered}
    del figures["also"], figures["mixed_with_water"]  # of the class, and no figures
    figures["least_celsius"] = ceil(figures["least_celsius"])
    return Glue(**at_least(figures, entered), label_at_celsius=label_at, from_label=tuple(sorted(entered)))


def require_figure(name: str, figure: str, value: float) -> None:
    """Raises UnknownName when a label has no such figure, Refused when its value is out of range."""
    if figure not in ON_THE_LABEL:
        raise unknown("figure on a glue's label", figure, {one: one for one in ON_THE_LABEL})
    most = MOST_CELSIUS if figure.endswith("celsius") else 365 * 1440
    if not 0 <= value <= most:
        raise Refused(
            f"{name}: {figure} is {value:g}, which is outside 0 to {most:g}.", "Read the label again and correct it."
        )


def careful_ends(row: GlueRow) -> dict[str, float | None]:
    """One value from each range: the low end of a deadline, the high end of a wait."""
    return {
        "open_minutes": row.open_minutes[0],
        "assembly_minutes": row.assembly_minutes[0],
        "pot_minutes": row.pot_minutes and row.pot_minutes[0],
        "dry_minutes": row.dry_minutes[1],
        "clamp_minutes": row.clamp_minutes[1],
        "stressed_clamp_minutes": row.stressed_clamp_minutes[1],
        "machine_minutes": row.machine_minutes[1],
        "cure_minutes": row.cure_minutes[1],
    }


def at_least(figures: dict[str, Any], entered: Mapping[str, float]) -> dict[str, Any]:
    """The figures, with those of the class raised where a figure of the label shows that they must be longer."""
    lifted = dict(figures)
    for figure, least in (
        ("assembly_minutes", "open_minutes"),
        ("stressed_clamp_minutes", "clamp_minutes"),
        ("machine_minutes", "clamp_minutes"),
        ("cure_minutes", "machine_minutes"),
    ):
        if least in entered and figure not in entered:
            lifted[figure] = max(figures[figure], entered[least])
    return lifted


def deadline_ms(glue: Glue, figure: Deadline, celsius: float, humidity: float) -> int:
    """A deadline in whole milliseconds, rounded down, for the temperature rounded up to a whole degree.

    celsius: °C. humidity: relative, percent.
    Raises TooCold when the air is too cold for this glue, OutsideValidity when no figure holds in it.
    """
    require_sets(glue, celsius, humidity)
    factor = deadline_factor(glue.sets_by, holds_at(glue, figure), ceil(celsius), humidity)
    minutes: float = getattr(glue, figure)
    return floor(minutes * MINUTE_MS * factor)


def wait_ms(glue: Glue, figure: Wait, celsius: float, humidity: float) -> int:
    """A wait in whole milliseconds, rounded up, for the temperature rounded down to a whole degree.

    celsius: °C. humidity: relative, percent.
    Raises TooCold when the air is too cold for this glue, OutsideValidity when no figure holds in it.
    """
    require_sets(glue, celsius, humidity)
    factor = wait_factor(glue.sets_by, holds_at(glue, figure), floor(celsius), humidity)
    minutes: float = getattr(glue, figure)
    return ceil(minutes * MINUTE_MS * factor)


def holds_at(glue: Glue, figure: str) -> float:
    """The temperature in °C at which a figure holds: the label's for a figure of the label."""
    return glue.label_at_celsius if figure in glue.from_label else glue.at_celsius


def require_sets(glue: Glue, celsius: float, humidity: float) -> None:
    """Raises TooCold when the air is too cold for this glue, OutsideValidity when no figure holds in it."""
    require_usual(celsius, humidity)
    if celsius < glue.least_celsius:
        raise TooCold(
            f"{degrees(celsius)} is colder than {degrees(glue.least_celsius)}, the least for {glue.id}.",
            "Do not glue: warm the shop, the wood and the glue first.",
        )


def open_minutes(glue: Glue, celsius: float, humidity: float) -> float:
    """Minutes from the first spread until the faces must be together.

    celsius: the shop's reading. humidity: relative, percent.
    Raises TooCold when the air is too cold for this glue, OutsideValidity when no figure holds in it.
    """
    return deadline_ms(glue, "open_minutes", celsius, humidity) / MINUTE_MS


def assembly_minutes(glue: Glue, celsius: float, humidity: float) -> float:
    """Minutes from the first spread until the clamps must be tight. Arguments as for open_minutes.

    Raises TooCold when the air is too cold for this glue, OutsideValidity when no figure holds in it.
    """
    return deadline_ms(glue, "assembly_minutes", celsius, humidity) / MINUTE_MS


def pot_minutes(glue: Glue, celsius: float, humidity: float) -> float | None:
    """Minutes from mixing until the pot is no longer usable; None when the glue is not mixed. Arguments as above.

    Raises TooCold when the air is too cold for this glue, OutsideValidity when no figure holds in it.
    """
    if glue.pot_minutes is None:
        return None
    return deadline_ms(glue, "pot_minutes", celsius, humidity) / MINUTE_MS


def dry_minutes(glue: Glue, celsius: float, humidity: float) -> float:
    """Least minutes from spreading until the faces may meet; 0 except for contact cement. Arguments as above.

    Raises TooCold when the air is too cold for this glue, OutsideValidity when no figure holds in it.
    """
    return wait_ms(glue, "dry_minutes", celsius, humidity) / MINUTE_MS


def clamp_minutes(glue: Glue, celsius: float, humidity: float, stressed: bool) -> float:
    """Least minutes in clamps. stressed: the joint is under stress, or the work is bent.

    celsius: the coldest reading since spreading. humidity: the highest relative humidity since then, percent.
    Raises TooCold when the air is too cold for this glue, OutsideValidity when no figure holds in it.
    """
    return wait_ms(glue, "stressed_clamp_minutes" if stressed else "clamp_minutes", celsius, humidity) / MINUTE_MS


def machine_minutes(glue: Glue, celsius: float, humidity: float) -> float:
    """Minutes from clamping until the joint may be machined. Arguments as for clamp_minutes.

    Raises TooCold when the air is too cold for this glue, OutsideValidity when no figure holds in it.
    """
    return wait_ms(glue, "machine_minutes", celsius, humidity) / MINUTE_MS


def cure_minutes(glue: Glue, celsius: float, humidity: float) -> float:
    """Minutes from clamping until full strength. Arguments as for clamp_minutes.

    Raises TooCold when the air is too cold for this glue, OutsideValidity when no figure holds in it.
    """
    return wait_ms(glue, "cure_minutes", celsius, humidity) / MINUTE_MS


def origin(glue: Glue, figure: str) -> str:
    """Where a figure comes from, as text: the container's label or the table's grade."""
    return "the container's label" if figure in glue.from_label else f"typical of its class, {glue.grade}"

"""What the page shares with the server: the structs that become its types, and the tables that become its constants."""

from typing import Any

from msgspec import Struct
from msgspec.structs import asdict

from benchbell.bench.air import Reading
from benchbell.bench.clock_kinds import CLOCK_KINDS, ClockRow
from benchbell.bench.clocks import Clock, Ring
from benchbell.bench.forms import forms
from benchbell.bench.happening_kinds import HAPPENING_KINDS, HappeningRow
from benchbell.bench.happenings import Happening
from benchbell.bench.server_clock import SET_TEXTS
from benchbell.bench.shop import ShopState
from benchbell.bench.state import Bench
from benchbell.labels.messages import LabelNotes
from benchbell.plan.model.problem import Craft, Hand, Hold, Link, Op, Placed, Plan, Problem, Station, Window
from benchbell.plan.odds.pace import UNTIMED
from benchbell.plan.report.messages import Difference, PresentedPlan, WhatIf
from benchbell.plan.report.odds_words import BY, KEPT
from benchbell.recipe.sheet import Sheet
from benchbell.trade.finish import finishes, wet_minutes
from benchbell.trade.glue import glues
from benchbell.trade.stations import stations
from benchbell.web.alert_messages import ALERT_MESSAGES
from benchbell.web.messages import MESSAGES

WHOLE: tuple[type, ...] = (Problem, Window, Station, Op, Link, Hold, Craft, Hand, Plan, Placed)
"""Structs that both planners make with every field, so that none is optional on the page."""

SHARED: tuple[type, ...] = (
    Sheet,
    Happening,
    HappeningRow,
    Bench,
    ShopState,
    Clock,
    ClockRow,
    Reading,
    Ring,
    LabelNotes,
    *WHOLE,
    PresentedPlan,
    WhatIf,
    Difference,
    *MESSAGES,
    *ALERT_MESSAGES,
)


class Table(Struct, frozen=True):
    """A table and its TypeScript type. exact: the page may rely on the very keys and texts, as on a union of them."""

    type: str
    value: dict[Any, Any]
    exact: bool = False


KIND = 'NonNullable<Happening["what"]>["kind"]'
"""The kinds of happenings in TypeScript."""

TABLES: dict[str, Table] = {
    "CLOCK_KINDS": Table('Readonly<Record<Clock["kind"], ClockRow>>', CLOCK_KINDS, exact=True),
    "HAPPENING_KINDS": Table(f"Readonly<Record<{KIND}, HappeningRow>>", HAPPENING_KINDS, exact=True),
    "FORMS": Table(f"Readonly<Record<{KIND}, Readonly<Record<string, string>>>>", forms()),
    "SET_TEXTS": Table("Readonly<Record<string, string>>", SET_TEXTS),
    "GLUES": Table("Readonly<Record<string, string>>", {name: glue.title for name, glue in glues().items()}),
    "MACHINES": Table(
        "Readonly<Record<string, string>>",
        {name: station.title for name, station in stations().items() if station.kind == "machine"},
    ),
    "FINISH_AIR": Table(
        "Readonly<Record<string, { readonly least_celsius: number; readonly most_humidity_percent: number }>>",
        {
            name: {"least_celsius": row.least_celsius, "most_humidity_percent": row.most_humidity_percent}
            for name, row in finishes().items()
        },
    ),
    "FINISHES": Table("Readonly<Record<string, string>>", {name: finish.title for name, finish in finishes().items()}),
    "STOP_MINUTES": Table("Readonly<Record<string, number>>", {id: one.stop_minutes for id, one in stations().items()}),
    "UNTIMED": Table("Pace", asdict(UNTIMED)),
    "THROWS_DUST": Table("Readonly<Record<string, boolean>>", {id: one.throws_dust for id, one in stations().items()}),
    "WET_MINUTES": Table("Readonly<Record<string, number>>", {id: wet_minutes(one) for id, one in finishes().items()}),
    "CRAFT": Table("Craft", asdict(Craft())),
    "DONE_BY": Table('Readonly<Record<"timed" | "guessed", string>>', BY),
    "KEPT": Table('Readonly<Record<"timed" | "guessed", readonly (readonly [number, string])[]>>', KEPT),
}
"""By the constant's name on the page. SET_TEXTS: what to say beside a clock, by its
`server_clock`. Glues and finishes: titles by name. FINISH_AIR: the air in which a finish dries, by its name.
STOP_MINUTES: to set a station for work that names no setup, by its id. THROWS_DUST: whether work there spoils a wet
coat. WET_MINUTES: in which dust sticks to a coat, by its finish. CRAFT: what faults of craft cost the planner. UNTIMED:
the pace of a shop of which nothing is known yet. DONE_BY, KEPT: how sure a forecast sounds."""

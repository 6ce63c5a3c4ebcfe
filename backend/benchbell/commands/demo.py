"""`benchbell serve --demo`: a build to look at, with an invented day's work behind it and a glue-up in clamps."""

import sqlite3
from collections.abc import Iterator

from msgspec import Struct

from benchbell.bench.happenings import Began, Clamped, Conditions, Finished, GlueOn, SetUp, What
from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.sheet import ClockSpec, Operation, Sheet
from benchbell.settings import Settings
from benchbell.store.builds import start
from benchbell.store.database import at_once
from benchbell.store.happenings import new_id, newest, record
from benchbell.web.recipes import recipe_files, recipe_text

PIECES = 2
SPREAD_MS = 4 * MINUTE_MS
PACES = (0.9, 1.25, 1.0, 1.4, 0.8)
"""Real over planned time, in turn: nobody works to the minute."""

CLAMPED_AGO_MS = 12 * MINUTE_MS
"""Long enough ago that squeeze-out is nearly rubbery, and clamps stay on for a while yet."""


class Moment(Struct, frozen=True):
    """Something done, at so many ms after the first of it."""

    at_ms: int
    what: What
    about: tuple[str, ...]


def begin_demo(settings: Settings) -> None:
    """Start it, if the book is empty. Raises Refused when no recipe has a glue-up to show."""
    names = recipe_files(settings)
    name = next((name for name in names if "demo" in name), next(iter(names), None))
    if name is None:
        raise Refused("There is no recipe to show.", "Give a folder that has one with --recipes.")
    text = recipe_text(settings, name)
    sheet = compile_text(text, f"{name}.toml", PIECES)
    if not sheet.operations:
        raise Refused(f"The recipe {name} cannot be built from.", f"See why with benchbell check {names[name]}.")
    at_once(settings.data, lambda db: tell(db, sheet, text, settings))


def tell(db: sqlite3.Connection, sheet: Sheet, text: str, settings: Settings) -> None:
    """Write it all down, inside a transaction."""
    if newest(db):
        return
    moments = list(days_work(sheet))
    begun = settings.clock() - CLAMPED_AGO_MS - moments[-1].at_ms
    build = new_id(begun, settings.random_bytes)
    start(db, build, f"Demo: {sheet.title}", sheet, text, begun, settings.random_bytes)
    for moment in moments:
        now = begun + moment.at_ms
        shop = isinstance(moment.what, Conditions)
        record(db, new_id(now, settings.random_bytes), now, "" if shop else build, moment.about, moment.what)


def days_work(sheet: Sheet) -> Iterator[Moment]:
    """Every operation in its order up to the first glue-up, which then stands in clamps."""
    yield Moment(0, Conditions(19.0, 48.0), ())
    done: dict[str, int] = {}
    now = 10 * MINUTE_MS
    for number, operation in enumerate(sheet.operations):
        now = max([now, *(done[hold.operation] + least(sheet, hold.operation, hold.clock) for hold in operation.holds)])
        if operation.step == "glue-up":
            yield from glued(operation, now)
            return
        until = now + round(operation.minutes * PACES[number % len(PACES)] * MINUTE_MS)
        yield from worked(sheet, operation, now, until)
        now = done[operation.id] = until


def worked(sheet: Sheet, operation: Operation, now: int, until: int) -> Iterator[Moment]:
    """One operation, with its station set as planned."""
    about = (operation.id, *operation.parts)
    setup = next((setup for setup in sheet.setups if setup.id == operation.setup), None)
    if setup is not None:
        values = {value.name: value.plan for value in setup.set}
        yield Moment(now, SetUp(setup.id, setup.station, values, True), (setup.id, setup.station))
    yield Moment(now, Began(operation.id), about)
    yield Moment(until, Finished(operation.id), about)


def glued(operation: Operation, now: int) -> Iterator[Moment]:
    """A glue-up as far as its clamps."""
    about = (operation.id, *operation.parts)
    yield Moment(now, Began(operation.id), about)
    yield Moment(now + MINUTE_MS, GlueOn(operation.id, 19.0, 48.0), about)
    yield Moment(now + MINUTE_MS + SPREAD_MS, Clamped(operation.id), about)


def least(sheet: Sheet, operation: str, clock: str) -> int:
    """How long a clock of an operation holds others up, in ms."""
    specs: list[ClockSpec] = [spec for one in sheet.operations if one.id == operation for spec in one.clocks]
    return next((spec.least_ms or 0 for spec in specs if spec.kind == clock), 0)

"""`benchbell serve --demo`: a build to look at, with an invented day's work behind it and a glue-up in clamps."""

from collections.abc import Iterator

from msgspec import Struct

from benchbell.bench.happenings import SHOP, Began, Clamped, Conditions, Finished, GlueOn, SetUp, What
from benchbell.findings import Refused
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.sheet import ClockSpec, Operation, Sheet
from benchbell.settings import Settings
from benchbell.store.envelopes import new_id
from benchbell.store.record_types import Entry
from benchbell.store.records import Records
from benchbell.store.sqlite_records import ask_records
from benchbell.web.recipes import recipe_files, recipe_text

PIECES = 2
MINUTE = 60_000
SPREAD_MS = 4 * MINUTE
PACES = (0.9, 1.25, 1.0, 1.4, 0.8)
"""Real over planned time, in turn: nobody works to the minute."""

CLAMPED_AGO_MS = 12 * MINUTE
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
    ask_records(settings.data, lambda records: record_demo(records, sheet, text, settings))


async def record_demo(records: Records, sheet: Sheet, text: str, settings: Settings) -> None:
    """Record the whole day in one transaction, unless the log has anything already."""
    if await records.newest_position():
        return
    moments = list(days_work(sheet))
    begun = settings.clock() - CLAMPED_AGO_MS - moments[-1].at_ms
    build = new_id(begun, settings.random_bytes)
    entries = [entry_of(moment, begun, build, settings) for moment in moments]
    await records.start_build(build, f"Demo: {sheet.title}", sheet, text, begun, settings.random_bytes, entries)


def entry_of(moment: Moment, begun: int, build: str, settings: Settings) -> Entry:
    """The moment as a log entry of the build, or of the shop when it is about the air."""
    now = begun + moment.at_ms
    of = SHOP if isinstance(moment.what, Conditions) else build
    return Entry(new_id(now, settings.random_bytes), now, of, moment.about, moment.what)


def days_work(sheet: Sheet) -> Iterator[Moment]:
    """Every operation in its order up to the first glue-up, which then stands in clamps."""
    yield Moment(0, Conditions(19.0, 48.0), ())
    done: dict[str, int] = {}
    now = 10 * MINUTE
    for number, operation in enumerate(sheet.operations):
        now = max([now, *(done[hold.operation] + least(sheet, hold.operation, hold.clock) for hold in operation.holds)])
        if operation.step == "glue-up":
            yield from glued(operation, now)
            return
        until = now + round(operation.minutes * PACES[number % len(PACES)] * MINUTE)
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
    yield Moment(now + MINUTE, GlueOn(operation.id, 19.0, 48.0), about)
    yield Moment(now + MINUTE + SPREAD_MS, Clamped(operation.id), about)


def least(sheet: Sheet, operation: str, clock: str) -> int:
    """How long a clock of an operation holds others up, in ms."""
    specs: list[ClockSpec] = [spec for one in sheet.operations if one.id == operation for spec in one.clocks]
    return next((spec.least_ms or 0 for spec in specs if spec.kind == clock), 0)

"""`benchbell serve --demo`: a build with invented happenings up to its first glue-up, which is in clamps."""

from collections.abc import Iterator

from msgspec import Struct

from benchbell.alerts.server_clock import ServerClock
from benchbell.bench.happenings import SHOP, Began, Clamped, Conditions, Finished, GlueOn, SetUp, What, When
from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.sheet import ClockSpec, Operation, Sheet
from benchbell.settings import Settings
from benchbell.store.envelopes import new_id
from benchbell.store.record_types import Entry
from benchbell.store.records import Records
from benchbell.store.sqlite_records import ask_records
from benchbell.web.recipes import fragments_of, recipe_files, recipe_text

RECIPE = "wall-cabinet"
"""What the demo builds; the first recipe where the folders have none of this name."""

PIECES = 2
SPREAD_MS = 4 * MINUTE_MS
PACES = (0.9, 1.25, 1.0, 1.4, 0.8)
"""Actual over planned time, for one operation after the other, so that the log shows differences."""

CLAMPED_AGO_MS = 12 * MINUTE_MS
"""The squeeze-out is then nearly rubbery, and the clamps stay on for some time."""


class DemoHappening(Struct, frozen=True):
    """One invented happening. at_ms: since the start of the build."""

    at_ms: int
    what: What
    about: tuple[str, ...]


def begin_demo(settings: Settings) -> None:
    """Start the demo build unless something is recorded already.

    Raises Refused when there is no recipe, or when the recipe has an error.
    """
    names = recipe_files(settings)
    name = RECIPE if RECIPE in names else next(iter(names), None)
    if name is None:
        raise Refused("There is no recipe to show.", "Give a folder that has one with --recipes.")
    text = recipe_text(settings, name)
    sheet = compile_text(text, f"{name}.toml", PIECES, fragments=fragments_of(settings))
    if not sheet.operations:
        raise Refused(f"The recipe {name} cannot be built from.", f"See why with benchbell check {names[name]}.")
    ask_records(settings.data, lambda records: record_demo(records, sheet, text, settings))


async def record_demo(records: Records, sheet: Sheet, text: str, settings: Settings) -> None:
    """Record the demo build in one transaction, unless something is recorded already."""
    if await records.newest_position():
        return
    invented = list(demo_happenings(sheet))
    clock = ServerClock(records, settings.machine, settings.random_bytes)
    await clock.start()
    begun = When(clock() - CLAMPED_AGO_MS - invented[-1].at_ms, clock.when().base)
    build = new_id(begun.ms, settings.random_bytes)
    entries = [entry_of(one, begun, build, settings) for one in invented]
    await records.start_build(build, f"Demo: {sheet.title}", sheet, text, begun, settings.random_bytes, entries)


def entry_of(one: DemoHappening, begun: When, build: str, settings: Settings) -> Entry:
    """The invented happening as a log entry of the build, or of the shop when it is about the air."""
    now = When(begun.ms + one.at_ms, begun.base)
    of = SHOP if isinstance(one.what, Conditions) else build
    return Entry(new_id(now.ms, settings.random_bytes), now, of, one.about, one.what)


def demo_happenings(sheet: Sheet) -> Iterator[DemoHappening]:
    """The happenings of every operation in order, up to the first glue-up, which stays in clamps."""
    yield DemoHappening(0, Conditions(19.0, 48.0), ())
    done: dict[str, int] = {}
    now = 10 * MINUTE_MS
    for number, operation in enumerate(sheet.operations):
        now = max(
            [now, *(done[hold.operation] + least_ms(sheet, hold.operation, hold.clock) for hold in operation.holds)]
        )
        if operation.step == "glue-up":
            yield from glue_up(operation, now)
            return
        until = now + round(operation.minutes * PACES[number % len(PACES)] * MINUTE_MS)
        yield from operation_done(sheet, operation, now, until)
        now = done[operation.id] = until


def operation_done(sheet: Sheet, operation: Operation, now: int, until: int) -> Iterator[DemoHappening]:
    """An operation begun and finished, with its station set up as planned before. now, until: ms."""
    about = (operation.id, *operation.parts)
    setup = next((setup for setup in sheet.setups if setup.id == operation.setup), None)
    if setup is not None:
        values = {value.name: value.plan for value in setup.set}
        yield DemoHappening(now, SetUp(setup.id, setup.station, values, True), (setup.id, setup.station))
    yield DemoHappening(now, Began(operation.id), about)
    yield DemoHappening(until, Finished(operation.id), about)


def glue_up(operation: Operation, now: int) -> Iterator[DemoHappening]:
    """A glue-up from its beginning to clamps on. now: ms."""
    about = (operation.id, *operation.parts)
    yield DemoHappening(now, Conditions(19.0, 48.0), ())  # the first reading may be days old by now
    yield DemoHappening(now, Began(operation.id), about)
    yield DemoHappening(now + MINUTE_MS, GlueOn(operation.id, 19.0, 48.0), about)
    yield DemoHappening(now + MINUTE_MS + SPREAD_MS, Clamped(operation.id), about)


def least_ms(sheet: Sheet, operation: str, clock: str) -> int:
    """The least time of an operation's clock in ms; 0 without such a clock."""
    specs: list[ClockSpec] = [spec for one in sheet.operations if one.id == operation for spec in one.clocks]
    return next((spec.least_ms or 0 for spec in specs if spec.kind == clock), 0)

"""Happenings as the vectors write them: [id, ms or [ms, counter], a hex digit for the device, what, when].

when: [ms, base], or left out for an entry from before that was kept.
"""

import json
from functools import cache
from typing import NamedTuple

import msgspec
from benchbell.alerts.calendar import entry_of
from benchbell.alerts.quiet import read_quiet, rings_at
from benchbell.alerts.schedule import alarms_of, due, running_of
from benchbell.bench.air import Reading
from benchbell.bench.book import Book
from benchbell.bench.clocks import clocks, held_by, ringing, rings
from benchbell.bench.fixtures import holds_fixtures
from benchbell.bench.sentences import sentence_of
from benchbell.bench.shop import shop_of
from benchbell.bench.sizes import part_mm, set_values, sizes_of
from benchbell.bench.standing import stands_now
from benchbell.bench.state import Bench, bench_of
from benchbell.buildlog.story import wording_of
from benchbell.findings import Refused
from benchbell.recipe.measure import round_half_up
from benchbell.recipe.sheet import Sheet
from benchbell.store.envelopes import readable
from msgspec.structs import replace
from twins import TESTS


def as_json(value):
    """The value as it comes out of JSON: tuples are lists there."""
    return json.loads(msgspec.json.encode(value))


def happening(brief):
    """The happening a brief stands for."""
    id, at, device, what, *when = brief
    ms, counter = at if isinstance(at, list) else (at, 0)
    stamp = {"ms": ms, "counter": counter, "device": device * 16}
    entry = {"id": id, "n": 1, "at": stamp, "build": "b", "about": [], "what": what}
    if when:
        entry["when"] = dict(zip(("ms", "base"), when[0], strict=True))
    return readable(json.dumps(entry).encode())


@cache
def beginning(build):
    """The first happening of a build in tests/vectors."""
    text = (TESTS / "vectors" / build / "started.json").read_text(encoding="utf-8")
    return happening(["start", 0, "0", json.loads(text)])


def book_of(build, briefs):
    """A book of these happenings; before them the beginning of the build, where one is named."""
    book = Book()
    for h in [*([beginning(build)] if build else []), *map(happening, briefs)]:
        book.add(h)
    return book


def at_moment(build, briefs, readings, now):
    """Sheet, bench and running clocks."""
    book = book_of(build, briefs)
    sheet, bench = book.started().sheet, bench_of(book)
    return sheet, bench, clocks(sheet, bench, [Reading(*reading) for reading in readings], now)


def state_told(build, briefs, path):
    """What the bench says along a path; None where there is nothing."""
    found = as_json(bench_of(book_of(build, briefs)))
    for step in path:
        found = (found or {}).get(step)
    return found


def sentence_told(build, what, units):
    """What a happening says in the log, in the units the person reads."""
    wording = replace(wording_of(beginning(build).what.sheet), units=units)
    return sentence_of(happening(["a", 1, "a", what]).what, wording)


def shop_told(briefs):
    """Settings and air."""
    return as_json(shop_of(book_of(None, briefs)))


def clock_told(build, briefs, readings, now, operation, kind):
    """One clock of an operation; None when it does not run."""
    _, _, running = at_moment(build, briefs, readings, now)
    return next((clock for clock in running if (clock.operation, clock.kind) == (operation, kind)), None)


def rings_told(build, briefs, readings, now):
    """The names of what rings."""
    _, bench, running = at_moment(build, briefs, readings, now)
    return [ring.name for ring in ringing(bench, running, now)]


def heard_at(quiet, kind, due):
    """When a ring is heard under a setting of quiet hours; one that cannot be read silences nothing."""
    try:
        return rings_at(read_quiet(quiet), kind, due)
    except Refused:
        return due


def due_told(build, briefs, quiet, now):
    """The names of what is to be heard, in order. quiet: the shop's setting."""
    running = running_of("b", book_of(build, briefs), (), now)
    return [a.ring for a in due([a for clock in running for a in alarms_of(clock, read_quiet(quiet), now)], now)]


def entry_told(build, briefs, quiet, now, operation, kind):
    """The calendar entry of a clock, as the phone tells it; None when it does not run. quiet: the shop's setting."""
    for running in running_of("b", book_of(build, briefs), (), now):
        if (running.op.id, running.clock.kind) == (operation, kind):
            entry = entry_of(running, alarms_of(running, read_quiet(quiet), now))
            return {name: getattr(entry, name) for name in ("title", "text", "starts", "ends", "alarms")}
    return None


def stages_told(build, briefs, readings, now, operation, kind):
    """All rings of one clock: [stage, moment]."""
    clock = clock_told(build, briefs, readings, now, operation, kind)
    return [[ring.stage, ring.at] for ring in rings(clock, now)] if clock else []


def holds_told(build, briefs, readings, now, operation):
    """The kinds of clocks that hold an operation."""
    sheet, _, running = at_moment(build, briefs, readings, now)
    op = next(op for op in sheet.operations if op.id == operation)
    return [clock.kind for clock in held_by(op, running, now)]


def held_told(build, briefs):
    """The operations that hold their fixtures."""
    book = book_of(build, briefs)
    states = bench_of(book).operations
    return [op.id for op in book.started().sheet.operations if holds_fixtures(op, states)]


def stands_told(builds):
    """What the stations of several builds stand in. builds: [id, build in tests/vectors, briefs] each."""
    books = [(id, book_of(build, briefs)) for id, build, briefs in builds]
    return as_json(stands_now([Open(id, book.started().sheet, bench_of(book)) for id, book in books]))


class Open(NamedTuple):
    """A build that is not finished."""

    id: str
    sheet: Sheet
    bench: Bench


def sizes_at(build, briefs, piece):
    """The sheet, and the named sizes of a piece."""
    book = book_of(build, briefs)
    sheet = book.started().sheet
    return sheet, sizes_of(sheet, bench_of(book).as_built, piece)


def size_told(build, briefs, piece, name):
    """One named size of a piece, to a thousandth."""
    _, sizes = sizes_at(build, briefs, piece)
    return replace(sizes[name], value=to_a_thousandth(sizes[name].value))


def part_told(build, briefs, id):
    """A part's size, to a thousandth."""
    sheet, sizes = sizes_at(build, briefs, id.partition("/")[0])
    part = next(part for part in sheet.parts if part.id == id)
    return [to_a_thousandth(mm) for mm in part_mm(part, sizes)]


def setup_told(build, briefs, piece, id):
    """What a setup is to be set to, to a thousandth."""
    sheet, sizes = sizes_at(build, briefs, piece)
    setup = next(setup for setup in sheet.setups if setup.id == id)
    return {name: to_a_thousandth(value) for name, value in set_values(setup, sizes).items()}


def to_a_thousandth(value):
    """As close as both halves of a twin agree."""
    return None if value is None else round_half_up(value * 1000) / 1000

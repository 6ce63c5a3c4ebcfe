"""What a start need not read again, and that it makes no difference to what rings."""

import json
import tempfile
from pathlib import Path
from random import Random

import msgspec
import pytest
from alerts.sample import BUILD, SHEET, happening
from benchbell.alerts import clock_tracker
from benchbell.alerts.clock_tracker import ClockTracker
from benchbell.alerts.running_builds import RunningBuilds
from benchbell.alerts.schedule import BEARING
from benchbell.bench.happenings import (
    SHOP,
    Acknowledged,
    Clamped,
    ClampsOff,
    Closed,
    Conditions,
    Finished,
    Noted,
    Started,
    Undone,
)
from benchbell.durations import HOUR_MS, MINUTE_MS
from benchbell.recipe.sheet import ClockSpec
from benchbell.store.envelopes import readable
from benchbell.store.sqlite_records import SqliteRecords, ask_records
from benchbell.trade.figure_grid import figure_grid
from benchbell.trade.glue import glue_named
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from scene import NOON, id7, kept
from strategies import random_build, recorded

GLUE = "pva-interior"
REST = ClockSpec("rest", "clamped", (), 12 * HOUR_MS, None, "", "machine", GLUE)
RESTED = replace(
    SHEET,
    operations=(replace(SHEET.operations[0], clocks=(REST,)),),
    figures={GLUE: figure_grid(glue_named(GLUE))},
)
LATER = NOON + 48 * HOUR_MS
OVER = [
    (BUILD, NOON, Started("Tray", RESTED, "", {})),
    (BUILD, NOON, Clamped("A/glue")),
    (BUILD, NOON + HOUR_MS, ClampsOff("A/glue")),
    (BUILD, NOON + HOUR_MS, Finished("A/glue")),
    (BUILD, NOON + 24 * HOUR_MS, Acknowledged("A/glue", f"rest|rested|{NOON}")),
]


def reads(monkeypatch):
    """The builds that are read whole from now on."""
    read, happenings_of = [], SqliteRecords.happenings_of

    async def noted(records, build, kinds):
        read.append(build)
        return await happenings_of(records, build, kinds)

    monkeypatch.setattr(SqliteRecords, "happenings_of", noted)
    return read


def sent(first, *happened):
    return [
        msgspec.json.encode(replace(happening(n, ms, what, build), id=id7(n, "a" * 16)))
        for n, (build, ms, what) in enumerate(happened, first)
    ]


async def started(records, now=LATER):
    """A server's alarm clock, just started."""
    looking = ClockTracker(records, lambda: now)
    await looking.refresh()
    return looking


async def all_of(records):
    """A watch of everything there is, with nothing kept from before."""
    builds = RunningBuilds()
    happened = [h for h in map(readable, await kept(records)) if h.what and h.what.__struct_config__.tag in BEARING]
    for build in sorted({h.build for h in happened}):
        builds.add(build, [h for h in happened if h.build == build])
    return builds


def test_a_build_that_is_over_is_not_read_at_a_second_start(tmp_path, monkeypatch):
    async def work(records):
        await records.take("a" * 16, sent(1, *OVER))
        first, read = await started(records), reads(monkeypatch)
        await started(records)
        return first.builds.books, read

    assert ({}, [SHOP]) == ask_records(tmp_path, work)


@pytest.mark.parametrize(
    ("late", "again"),
    [
        ((BUILD, NOON + MINUTE_MS, Noted("late")), True),
        ((BUILD, NOON + 25 * HOUR_MS, Undone(id7(4, "a" * 16))), True),
        ((SHOP, NOON + HOUR_MS, Conditions(2.0)), True),
        ((SHOP, NOON + 40 * HOUR_MS, Conditions(2.0)), False),
        ((SHOP, NOON + 40 * HOUR_MS, Undone(id7(77, "b" * 16))), True),
        (("another build", NOON, Closed(True)), False),
    ],
    ids=["a note", "an undoing", "a reading while it rested", "a later reading", "a reading undone", "elsewhere"],
)
def test_what_comes_late_is_not_overlooked(tmp_path, monkeypatch, late, again):
    async def work(records):
        await records.take("a" * 16, sent(1, *OVER))
        running = await started(records)
        await records.take("a" * 16, sent(6, late))
        read = reads(monkeypatch)
        after_start = await (await started(records)).refresh()
        seen = BUILD in read
        rings = await running.refresh()
        whole = await all_of(records)
        return seen, rings, after_start, whole.alarms(LATER)

    read, running, restarted, whole = ask_records(tmp_path, work)

    assert again == read
    assert running == restarted == whole


def test_another_program_believes_nothing_of_it(tmp_path, monkeypatch):
    async def work(records):
        await records.take("a" * 16, sent(1, *OVER))
        await started(records)
        read = reads(monkeypatch)
        monkeypatch.setattr(clock_tracker, "code_fingerprint", lambda: "another")
        await started(records)
        await started(records)
        return read

    assert [SHOP, BUILD, SHOP] == ask_records(tmp_path, work)


def arrivals(seed, length):
    """Three builds and the air, as they come in: shuffled a little, in batches, with a start of the server now and
    then; and when each batch comes."""
    chance = Random(seed)
    happened, now = [], 0
    for name in "xyz":
        build = random_build(chance.getrandbits(32), chance.randint(0, length))
        closing = [recorded("end", chance.randint(0, 1440) * MINUTE_MS, {"kind": "closed", "closed": True})]
        happened += [{**one, "build": name, "id": f"{name}{one['id']}"} for one in build.written + closing]
        happened += [
            {**recorded(f"air-{name}-{ms}", max(0, ms), {"kind": "conditions", "celsius": c}), "build": SHOP}
            for ms, c, _ in build.air
        ]
    chance.shuffle(happened)
    numbered = [{**one, "id": id7(n, "a" * 16), "n": n} for n, one in enumerate(happened, 1)]
    ids = {one["id"]: new["id"] for one, new in zip(happened, numbered, strict=True)}
    for one in numbered:
        undone = one["what"].get("happening")
        if isinstance(undone, str):
            one["what"] = {**one["what"], "happening": ids.get(one["build"] + undone, undone)}
    while numbered:
        many = chance.randint(1, 12)
        batch, numbered = numbered[:many], numbered[many:]
        now += chance.choice([0, 1, 30, 600]) * MINUTE_MS
        yield [json.dumps(one).encode() for one in batch], now, chance.random() < 0.5


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(0, 12))
def test_with_what_was_kept_everything_rings_as_without(seed, length):
    async def work(records):
        clock = [0]
        running = ClockTracker(records, lambda: clock[0])
        for batch, clock[0], restarts in arrivals(seed, length):
            await records.take("a" * 16, batch)
            running = ClockTracker(records, lambda: clock[0]) if restarts else running
            rings = await running.refresh()
            whole = await all_of(records)

            assert sorted(rings, key=repr) == sorted(whole.alarms(clock[0]), key=repr)
            assert sorted(running.builds.running(clock[0]), key=repr) == sorted(whole.running(clock[0]), key=repr)

    with tempfile.TemporaryDirectory() as folder:
        ask_records(Path(folder), work)

"""Which rings are to come, and which are due."""

from datetime import time

import pytest
from alerts.sample import BUILD, CLAMPED, COATED, GLUE_ON, OFF, SHEET, book, happening, happenings
from benchbell.alerts.quiet import Quiet
from benchbell.alerts.schedule import (
    ALWAYS,
    air_matters_until,
    alarms_of,
    due,
    lasts_until,
    late_ms,
    next_at,
    running_of,
)
from benchbell.bench.air import Reading
from benchbell.bench.book import Book
from benchbell.bench.clocks import clocks, ringing
from benchbell.bench.happenings import (
    Acknowledged,
    Closed,
    Finished,
    Lengthened,
    Mixed,
    Pared,
    RagsSafe,
    Undone,
    WipedOff,
)
from benchbell.bench.state import bench_of
from benchbell.durations import HOUR_MS, MINUTE_MS
from briefs import book_of
from hypothesis import given
from hypothesis import strategies as st
from scene import NOON


def alarms(book, now, quiet=None):
    return [alarm for clock in running_of(BUILD, book, (), now) for alarm in alarms_of(clock, quiet, now)]


def due_now(book, now, quiet=None):
    return [(alarm.kind, alarm.stage) for alarm in due(alarms(book, now, quiet), now)]


def heard(kind, stage, started, operation="A/glue"):
    return Acknowledged(operation, f"{kind}|{stage}|{started}")


def test_clamps_ring_when_their_time_is_over_and_not_a_millisecond_before():
    clamped = book((NOON, CLAMPED), (NOON + 21 * MINUTE_MS, Pared("A/glue")))

    assert due_now(clamped, NOON + HOUR_MS - 1) == []
    assert due_now(clamped, NOON + HOUR_MS) == [("in-clamps", "off")]
    assert next_at(alarms(clamped, NOON), NOON) == NOON + HOUR_MS


def test_open_time_rings_in_stages_and_only_the_latest_counts():
    spread = book((NOON, GLUE_ON))

    assert due_now(spread, NOON + 5 * MINUTE_MS) == [("open", "half")]
    assert due_now(spread, NOON + 8 * MINUTE_MS) == [("open", "two-minutes")]
    assert due_now(spread, NOON + 9 * MINUTE_MS + 30_000) == [("open", "last")]
    assert due_now(spread, NOON + 2 * HOUR_MS) == [("open", "over")]


def test_a_ring_heard_on_any_device_is_silent():
    ring = heard("in-clamps", "off", NOON)
    clamped = book((NOON, CLAMPED), (NOON + 21 * MINUTE_MS, Pared("A/glue")), (NOON + HOUR_MS, ring))

    assert due_now(clamped, NOON + HOUR_MS) == []
    assert next_at(alarms(clamped, NOON + HOUR_MS), NOON + HOUR_MS) == NOON + 24 * HOUR_MS


def test_an_undone_hearing_rings_again():
    happened = happenings((NOON, CLAMPED), (NOON + HOUR_MS, heard("in-clamps", "off", NOON)))
    undone = happening(9, NOON + HOUR_MS + 1, Undone(happened[-1].id))

    assert ("in-clamps", "off") in due_now(Book([*happened, undone]), NOON + HOUR_MS + 1)


def test_a_clock_that_has_ended_is_silent():
    off = book((NOON, CLAMPED), (NOON + HOUR_MS, OFF))

    assert due_now(off, NOON + 2 * HOUR_MS) == []


def test_a_lengthened_clock_rings_later_although_it_was_heard():
    more = Lengthened("A/glue", "in-clamps", 10 * MINUTE_MS, "cold corner")
    longer = book(
        (NOON, CLAMPED),
        (NOON + 21 * MINUTE_MS, Pared("A/glue")),
        (NOON + HOUR_MS, heard("in-clamps", "off", NOON)),
        (NOON + HOUR_MS + MINUTE_MS, more),
    )

    assert due_now(longer, NOON + HOUR_MS + 9 * MINUTE_MS) == []
    assert due_now(longer, NOON + HOUR_MS + 10 * MINUTE_MS) == [("in-clamps", "off")]


def test_what_cannot_wait_comes_first_then_the_longest_due():
    missed = book((NOON, CLAMPED), (NOON + HOUR_MS, COATED))
    due = due_now(missed, NOON + 25 * HOUR_MS)

    assert due[:2] == [("wipe-off", "over"), ("rags", "again-8")]
    assert due[2:] == [("squeeze-out", "pare"), ("in-clamps", "off"), ("recoat", "recoat"), ("rest", "rested")]


def test_what_was_missed_tells_how_late_it_is():
    clamped = book((NOON, CLAMPED), (NOON + 21 * MINUTE_MS, Pared("A/glue")))
    now = NOON + 3 * HOUR_MS
    (alarm,) = due(alarms(clamped, now), now)

    assert late_ms(alarm, now) == 2 * HOUR_MS


def test_quiet_hours_keep_a_ring_back_but_never_open_time_or_rags():
    # NOON is 12:00 UTC.
    quiet = Quiet(time(12), time(20), "UTC")
    both = book((NOON, GLUE_ON), (NOON, COATED), (NOON + MINUTE_MS, WipedOff("A/oil")), (NOON + HOUR_MS, CLAMPED))

    assert due_now(book((NOON, GLUE_ON)), NOON + 5 * MINUTE_MS, quiet) == [("open", "half")]
    assert due_now(both, NOON + 8 * HOUR_MS - 1, quiet) == [("rags", "again-4")]
    evening = due_now(both, NOON + 8 * HOUR_MS, quiet)

    assert evening == [("rags", "again-4"), ("squeeze-out", "pare"), ("in-clamps", "off")]


def test_a_build_put_away_is_silent_but_for_its_rags():
    away = book((NOON, CLAMPED), (NOON, COATED), (NOON + MINUTE_MS, Closed(True, "no time")))

    assert due_now(away, NOON + HOUR_MS) == [("rags", "again-1")]


def test_a_ring_lasts_until_the_next_of_its_clock():
    all_rings = alarms(book((NOON, GLUE_ON)), NOON)
    half, *_, over = all_rings

    assert lasts_until(half, all_rings) == NOON + 8 * MINUTE_MS
    assert lasts_until(over, all_rings) is None


def test_rings_of_one_clock_share_its_tag_and_no_ring_has_anothers_key():
    found = alarms(book((NOON, GLUE_ON), (NOON, COATED)), NOON)

    assert len(found) == len({alarm.key for alarm in found})
    assert {f"{BUILD}|{a.operation}|{a.kind}|{NOON}" for a in found} == {a.clock for a in found}


def test_before_the_builds_beginning_has_arrived_nothing_rings():
    assert alarms(Book([happening(1, NOON, CLAMPED)]), NOON + HOUR_MS) == []
    assert next_at([], NOON) is None


marks = st.sampled_from(
    [
        *(Mixed("A/glue"), GLUE_ON, CLAMPED, Pared("A/glue"), OFF, Finished("A/glue")),
        *(COATED, WipedOff("A/oil"), RagsSafe("A/oil"), Finished("A/oil")),
        *(Lengthened("A/glue", "in-clamps", 5 * MINUTE_MS), Lengthened("A/oil", "recoat", 5 * MINUTE_MS)),
        *(heard("in-clamps", "off", NOON), heard("open", "half", NOON), heard("rags", "rags", NOON, "A/oil")),
        *(heard("recoat", "closing", NOON, "A/oil"), heard("rest", "rested", NOON + MINUTE_MS)),
    ]
)
happened = st.lists(st.tuples(st.integers(0, 90).map(lambda m: NOON + m * MINUTE_MS), marks), max_size=12)


@given(happened, st.integers(NOON, NOON + 5 * HOUR_MS))
def test_without_quiet_hours_what_is_due_is_what_the_bench_says_rings(happened, now):
    known = book(*happened)
    bench = bench_of(known)
    expected = {(ring.operation, ring.name) for ring in ringing(bench, clocks(SHEET, bench, (), now), now)}

    assert expected == {(alarm.operation, alarm.ring) for alarm in due(alarms(known, now), now)}


@given(happened, st.integers(NOON, NOON + 5 * HOUR_MS))
def test_the_next_moment_is_the_first_at_which_anything_new_rings(happened, now):
    known = book(*happened)
    coming = next_at(alarms(known, now), now)
    before = {alarm.key for alarm in due(alarms(known, now), now)}

    if coming is None:
        assert {a.key for a in due(alarms(known, now + 99 * HOUR_MS), now + 99 * HOUR_MS)} <= before
    else:
        assert {a.key for a in due(alarms(known, coming - 1), coming - 1)} <= before


SPREAD = ["a", 1000, "a", {"kind": "glue-on", "operation": "A/glue"}]
IN_CLAMPS = ["b", 2000, "a", {"kind": "clamped", "operation": "A/glue"}]
OUT_OF_THEM = ["c", 9_000_000, "a", {"kind": "clamps-off", "operation": "A/glue"}]
GROUND = ["d", 9_000_001, "a", {"kind": "undone", "happening": "b"}]
PLANNED_REST_MS, REST_AT_12_MS, OPEN_AT_12_MS = 12 * HOUR_MS, 10 * HOUR_MS, 520_000


@pytest.mark.parametrize(
    ("happened", "celsius", "until"),
    [
        pytest.param([], 12, 0, id="no clock runs"),
        pytest.param([SPREAD], 12, 1000 + OPEN_AT_12_MS, id="open time alone"),
        pytest.param([SPREAD, IN_CLAMPS], 12, 2000 + REST_AT_12_MS, id="of those that run the last"),
        pytest.param([SPREAD, IN_CLAMPS], None, 2000 + PLANNED_REST_MS, id="as planned where nobody read the air"),
        pytest.param([SPREAD, IN_CLAMPS, OUT_OF_THEM], 12, 2000 + REST_AT_12_MS, id="not the one that has ended"),
        pytest.param([SPREAD, IN_CLAMPS, GROUND], 12, 1000 + OPEN_AT_12_MS, id="not one whose start was undone"),
        pytest.param([IN_CLAMPS], 5, ALWAYS, id="for ever where it was too cold to tell"),
    ],
)
def test_until_when_air_that_comes_in_late_may_change_a_build(happened, celsius, until):
    readings = [] if celsius is None else [Reading(500, celsius, 50)]

    assert until == air_matters_until(book_of("stand", happened), readings, 9_100_000)


def test_air_says_nothing_of_a_build_that_was_not_begun():
    assert 0 == air_matters_until(Book(), [Reading(500, 12.0)], NOON)

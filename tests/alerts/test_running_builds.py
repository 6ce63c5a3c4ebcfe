"""All builds at once: what is held in memory, and what it rings for."""

from alerts.sample import BUILD, CLAMPED, COATED, OFF, happening, happenings
from benchbell.alerts import running_builds
from benchbell.alerts.running_builds import RunningBuilds
from benchbell.alerts.schedule import BEARING, due, running_of
from benchbell.bench.air import Reading
from benchbell.bench.book import Book
from benchbell.bench.happenings import SHOP, Acknowledged, Closed, Conditions, Finished, Kept, RagsSafe, Undone
from benchbell.bench.state import bench_of
from benchbell.durations import HOUR_MS, MINUTE_MS
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from scene import NOON
from strategies import DAY, builds, happenings_of

OTHER = "01970000-0000-7000-8000-000000000002"


def watch(*happened, build=BUILD):
    watching = RunningBuilds()
    watching.add(build, happenings(*happened, build=build))
    return watching


def stages(builds, now):
    return [(alarm.build, alarm.stage) for alarm in due(builds.alarms(now), now)]


def test_rings_of_all_builds_come_together():
    both = watch((NOON, CLAMPED))
    both.add(OTHER, happenings((NOON - MINUTE_MS, CLAMPED), build=OTHER))

    assert stages(both, NOON + 20 * MINUTE_MS) == [(OTHER, "pare"), (BUILD, "pare")]


def test_one_more_happening_changes_what_rings():
    watching = watch((NOON, CLAMPED))
    before = stages(watching, NOON + HOUR_MS)
    watching.add(BUILD, [happening(7, NOON + HOUR_MS, Acknowledged("A/glue", f"in-clamps|off|{NOON}"))])

    assert before == [(BUILD, "pare"), (BUILD, "off")]
    assert stages(watching, NOON + HOUR_MS) == [(BUILD, "pare")]


def test_quiet_hours_hold_for_every_build_as_soon_as_they_are_kept():
    watching = watch((NOON, CLAMPED))
    quiet = Kept("quiet", {"from": "12:00", "to": "14:00", "zone": "UTC"})
    watching.add(SHOP, [happening(1, NOON, quiet, SHOP)])

    assert stages(watching, NOON + HOUR_MS) == []
    assert stages(watching, NOON + 2 * HOUR_MS) == [(BUILD, "pare"), (BUILD, "off")]


def test_quiet_hours_that_cannot_be_read_silence_nothing_and_say_so():
    watching = watch((NOON, CLAMPED))
    watching.add(SHOP, [happening(1, NOON, Kept("quiet", "at night"), SHOP)])

    assert stages(watching, NOON + HOUR_MS) == [(BUILD, "pare"), (BUILD, "off")]
    assert watching.quiet_error.startswith("The setting quiet is 'at night'")


def test_a_build_whose_clocks_fail_is_named_until_they_can_be_worked_out_again(monkeypatch):
    def broken(*_):
        tries.append(1)
        raise ZeroDivisionError("no figure")

    watching, tries = watch((NOON, CLAMPED)), []
    monkeypatch.setattr(running_builds, "running_of", broken)
    for seconds in range(3):
        watching.alarms(NOON + seconds)
    named = dict(watching.failed)
    monkeypatch.undo()
    watching.add(BUILD, [happening(7, NOON + 1, COATED)])
    rings = stages(watching, NOON + HOUR_MS)

    assert {BUILD: "no figure"} == named
    assert [1] == tries  # the log would fill with it
    assert (BUILD, "off") in rings
    assert {} == watching.failed


def test_a_finished_build_is_let_go_once_nothing_of_it_rings():
    over = [Closed(True)]
    watching = watch((NOON, CLAMPED), (NOON, COATED), *((NOON + HOUR_MS, what) for what in over))
    ringing = stages(watching, NOON + HOUR_MS)
    watching.add(BUILD, [happening(7, NOON + HOUR_MS, RagsSafe("A/oil"))])
    silent = stages(watching, NOON + HOUR_MS)

    assert (ringing, silent) == ([(BUILD, "again-1")], [])
    assert not watching.holds(BUILD)


def test_rags_ring_every_four_hours_for_weeks_though_nothing_new_comes():
    # Rags are due 20 minutes after the coat in the sample; the stages' last comes 3 h 30 after that.
    watching = watch((NOON, COATED))
    last = NOON + 20 * MINUTE_MS + HOUR_MS * 7 // 2
    hours = [n * 4 * HOUR_MS for n in range(1, 6 * 21)]
    happened = [
        [alarm.ring for alarm in due(watching.alarms(now), now) if alarm.kind == "rags"]
        for now in map(last.__add__, hours)
    ]

    assert happened == [[f"rags|again-{3 + n}|{NOON}"] for n in range(1, 6 * 21)]


def test_a_build_let_go_rings_again_when_it_is_given_whole():
    happened = happenings((NOON, CLAMPED), (NOON + 1, Closed(True)))
    watching = RunningBuilds()
    watching.add(BUILD, happened)
    watching.refresh(NOON + HOUR_MS)
    undone = happening(9, NOON + 2, Undone(happened[-1].id))

    assert not watching.holds(BUILD)
    watching.add(BUILD, [*happened, undone])
    assert stages(watching, NOON + HOUR_MS) == [(BUILD, "pare"), (BUILD, "off")]


def test_an_open_build_is_kept_though_nothing_rings():
    watching = watch((NOON, CLAMPED), (NOON + 1, OFF), (NOON + 2, Finished("A/glue")))
    watching.refresh(NOON)

    assert watching.holds(BUILD)
    assert watching.holds(SHOP)


def test_the_same_happening_twice_changes_nothing():
    watching = watch((NOON, CLAMPED))
    watching.refresh(NOON)
    seen = watching.rings[BUILD]
    watching.add(BUILD, happenings((NOON, CLAMPED)))
    watching.refresh(NOON)

    assert seen is watching.rings[BUILD]


def test_a_reading_from_the_future_is_looked_at_when_its_moment_comes():
    watching = watch((NOON, CLAMPED))
    watching.add(SHOP, [happening(1, NOON + 5, Conditions(10.0), SHOP)])
    watching.refresh(NOON)
    before = watching.rings[BUILD]
    watching.refresh(NOON + 5)

    assert before.until == NOON + 5
    assert watching.rings[BUILD] is not before


@given(builds(), st.integers(0, 3 * DAY))
def test_kinds_that_no_state_hangs_on_may_be_left_unread(build, now):
    readings = [Reading(*one) for one in build.air]
    bearing = [one for one in build.written if one["what"]["kind"] in BEARING]
    whole, part = Book(happenings_of(build.written)), Book(happenings_of(bearing))

    assert running_of("b", whole, readings, now) == running_of("b", part, readings, now)
    assert known_state(whole) == known_state(part)


def known_state(book):
    bench = bench_of(book)
    return bench and replace(bench, unknown=0)

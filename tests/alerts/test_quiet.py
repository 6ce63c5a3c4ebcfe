"""When quiet hours keep a ring back, and until when."""

from datetime import UTC, datetime, time
from itertools import takewhile

import pytest
from benchbell.alerts.quiet import Quiet, is_quiet, read_quiet, rings_at
from benchbell.findings import Refused
from benchbell.moments import LATEST_MS
from briefs import as_json, due_told, heard_at
from hypothesis import given, settings
from hypothesis import strategies as st
from twins import answer_of, ask_the_page, cases, expected

ASKS = {"rings_at": heard_at, "due_told": due_told}

NIGHT = Quiet(time(21), time(7), "Europe/Berlin")
MINUTE = 60_000


def at(text):
    """Ms of a moment in UTC."""
    return int(datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp() * 1000)


def test_a_ring_in_quiet_hours_waits_until_they_end():
    # Berlin is two hours ahead of UTC in July: 23:30 there is 21:30 UTC, 07:00 is 05:00.
    assert at("2025-07-02T05:00") == rings_at(NIGHT, "in-clamps", at("2025-07-01T21:30"))
    assert at("2025-07-02T05:00") == rings_at(NIGHT, "in-clamps", at("2025-07-02T04:59"))


def test_a_ring_that_a_wrong_clock_put_after_the_last_year_of_the_calendar_is_told_as_it_is():
    assert [LATEST_MS, LATEST_MS * 2] == [rings_at(NIGHT, "rest", due) for due in (LATEST_MS, LATEST_MS * 2)]


def test_quiet_hours_over_noon_do_not_touch_the_night():
    noon = Quiet(time(12), time(14), "Europe/Berlin")

    assert at("2025-07-01T12:00") == rings_at(noon, "rest", at("2025-07-01T10:30"))
    assert at("2025-07-01T22:30") == rings_at(noon, "rest", at("2025-07-01T22:30"))


def test_they_end_with_their_last_minute():
    assert at("2025-07-02T05:00") == rings_at(NIGHT, "rest", at("2025-07-02T05:00"))


@pytest.mark.parametrize("kind", ["open", "pot", "wipe-off", "rags"])
def test_what_cannot_wait_rings_at_night(kind):
    assert at("2025-07-01T23:00") == rings_at(NIGHT, kind, at("2025-07-01T23:00"))


def test_without_quiet_hours_everything_rings_when_due():
    assert rings_at(None, "cure", 5) == 5
    assert read_quiet(None) is None
    assert read_quiet({"from": "21:00", "to": "21:00", "zone": "UTC"}) is None


def test_clocks_set_forward_or_back_in_the_night_do_not_move_the_morning():
    # EU Directive 2000/84/EC: summer time begins and ends at 01:00 UTC on the last Sundays of March and October.
    assert at("2025-03-30T05:00") == rings_at(NIGHT, "rest", at("2025-03-29T22:00"))
    assert at("2025-10-26T06:00") == rings_at(NIGHT, "rest", at("2025-10-25T22:00"))


def test_an_end_in_the_hour_that_comes_twice_is_the_next_of_the_two():
    # Berlin, 2025-10-26: 02:30 is at 00:30 UTC and, clocks set back, again at 01:30 UTC.
    early = Quiet(time(23), time(2, 30), "Europe/Berlin")

    assert at("2025-10-26T00:30") == rings_at(early, "rest", at("2025-10-26T00:10"))
    assert at("2025-10-26T01:30") == rings_at(early, "rest", at("2025-10-26T01:10"))


def test_an_end_in_the_hour_that_is_left_out_is_no_sooner_than_it():
    # Berlin, 2025-03-30: from 02:00 the clocks show 03:00. There is no 02:30: half an hour after the jump it is 03:30.
    early = Quiet(time(23), time(2, 30), "Europe/Berlin")

    assert at("2025-03-30T01:30") == rings_at(early, "rest", at("2025-03-30T00:10"))
    assert at("2025-03-30T01:30") == rings_at(early, "rest", at("2025-03-30T00:50"))


@pytest.mark.parametrize("case", cases("quiet"), ids=lambda case: case["rule"])
def test_vector(case):
    assert expected(case) == as_json(answer_of(ASKS[case["ask"]], *case["given"]))


zones = st.sampled_from(["UTC", "Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu"])
hours = st.builds(time, st.integers(0, 23), st.integers(0, 59))
quiets = st.builds(Quiet, hours, hours, zones).filter(lambda q: q.start != q.end)
moments = st.integers(at("2025-01-01T00:00"), at("2026-12-31T00:00"))


@given(quiets, moments)
def test_no_ring_is_early_none_is_in_quiet_hours_and_none_waits_longer_than_they_last(quiet, due):
    heard = rings_at(quiet, "rest", due)
    waited = range(due, heard, MINUTE)

    assert heard >= due
    assert not is_quiet(quiet, heard)
    # Where the end falls into an hour left out or repeated the quiet may be an hour longer: never a second night.
    assert heard - due <= 26 * 60 * MINUTE
    assert len(list(takewhile(lambda ms: is_quiet(quiet, ms), waited))) >= len(waited) - 60


@settings(max_examples=400, deadline=None)  # the first answer waits for node to start
@given(quiets, moments)
def test_the_phone_hears_it_at_the_same_moment(quiet, due):
    setting = {"from": f"{quiet.start:%H:%M}", "to": f"{quiet.end:%H:%M}", "zone": quiet.zone}

    assert rings_at(quiet, "rest", due) == ask_the_page("rings_at", setting, "rest", due)["answer"]


@pytest.mark.parametrize(
    "value",
    [
        "late",
        {"from": "21:00"},
        {"from": "9", "to": "7", "zone": "UTC"},
        {"from": "21:00", "to": "07:00", "zone": "Mars"},
    ],
)
def test_a_setting_that_is_not_of_its_form_is_refused_with_an_example(value):
    with pytest.raises(Refused, match=r'The setting quiet is .*Set it to \{"from": "21:00", "to": "07:00"'):
        read_quiet(value)


def test_a_setting_is_read_as_the_page_writes_it():
    kept = {"from": "21:00", "to": "07:00", "zone": "Europe/Berlin"}

    assert read_quiet(kept) == NIGHT

"""Working hours: what fits where, forwards and backwards."""

import pytest
from benchbell.plan.model.hours import FAR, earliest_start, end_of, hours_of, latest_start, open_minutes
from benchbell.plan.model.problem import Window
from hypothesis import given
from hypothesis import strategies as st

HOURS = hours_of((Window(300, 400), Window(0, 60), Window(60, 100), Window(350, 420)), 10)
"""10 to 100, and 300 to 420."""

MINUTES = st.integers(0, 130)
MOMENTS = st.integers(-50, 500)


def test_windows_that_touch_or_overlap_are_joined_and_past_time_is_cut_away():
    assert HOURS.opens == [10, 300]
    assert HOURS.closes == [100, 420]
    assert HOURS.worked == [0, 90, 210]


@pytest.mark.parametrize(("at", "minutes", "breakable", "start"), [
    (0, 90, False, 10), (11, 90, False, 300), (99, 90, True, 99), (100, 1, True, 300), (0, 121, False, FAR),
])  # fmt: skip
def test_the_earliest_start(at, minutes, breakable, start):
    assert earliest_start(HOURS, at, minutes, breakable) == start


def test_breakable_work_goes_on_after_the_night():
    assert end_of(HOURS, 90, 10) == 100
    assert end_of(HOURS, 90, 11) == 301
    assert end_of(HOURS, 90, 131) == FAR


@given(MOMENTS, MINUTES, st.booleans())
def test_the_latest_start_is_the_last_that_is_done_in_time(by, minutes, breakable):
    breakable = breakable and minutes > 0

    def done(start):
        return end_of(HOURS, start, minutes) if breakable else start + minutes

    inside = [s for s in range(10, by + 1) if earliest_start(HOURS, s, minutes, breakable) == s and done(s) <= by]

    assert inside == [] or latest_start(HOURS, by, minutes, breakable) == inside[-1]
    assert inside or latest_start(HOURS, by, minutes, breakable) <= 10


@given(MOMENTS, MOMENTS)
def test_open_minutes_are_counted(a, b):
    counted = sum(10 <= minute < 100 or 300 <= minute < 420 for minute in range(min(a, b), max(a, b)))

    assert abs(open_minutes(HOURS, a) - open_minutes(HOURS, b)) == counted

"""How much of the shop's hours lies between two moments."""

from datetime import UTC, datetime
from functools import partial

import pytest
from benchbell.planner.gone import open_minutes_gone
from benchbell.planner.shop_hours import read_hours, stretches

HOURS = partial(stretches, read_hours({"mon": "08:00-12:00, 12:30-17:00", "tue": "08:00-17:00"}), UTC)


def at(day, time):
    """A time in the week of Monday, 7 December 2026, in ms."""
    return int(datetime.fromisoformat(f"2026-12-{day:02}T{time}+00:00").timestamp() * 1000)


@pytest.mark.parametrize(
    ("since", "now", "minutes"),
    [
        (at(7, "09:00"), at(7, "09:50"), 50),
        (at(7, "11:50"), at(7, "12:40"), 20),
        (at(7, "16:50"), at(8, "08:10"), 20),
        (at(7, "18:00"), at(7, "19:00"), 0),
        (at(7, "09:00"), at(7, "09:00"), 0),
        (at(8, "16:50"), at(13, "12:00"), 10),
    ],
)
def test_nights_meals_and_days_off_are_not_work(since, now, minutes):
    assert open_minutes_gone(HOURS, now, since, 60) == minutes


def test_no_more_is_counted_than_matters():
    assert open_minutes_gone(HOURS, at(8, "12:00"), at(7, "08:00"), 60) < 9 * 60

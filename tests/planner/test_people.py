"""Those who work here: read from the shop's settings, and when each is there."""

from datetime import UTC, date, datetime

import pytest
from benchbell.findings import Refused
from benchbell.planner.days_off import DaysOff
from benchbell.planner.people import Person, read_people, workers_of
from benchbell.planner.shop_hours import read_hours

MONDAY = int(datetime(2026, 12, 7, tzinfo=UTC).timestamp() * 1000)
HOUR = 3_600_000


def test_a_person_needs_no_more_than_a_name():
    assert read_people([{"name": " Anna "}]) == (Person("Anna"),)
    assert read_people(None) == ()


def test_a_person_may_have_stations_hours_and_days_of_their_own():
    kept = {"name": "Otto", "unable": ["band saw"], "hours": {"mon": "08:00-12:00"}, "away": [{"from": "2026-12-24"}]}
    (otto,) = read_people([kept])

    assert otto.unable == ("band saw",)
    assert otto.week == read_hours({"mon": "08:00-12:00"})
    assert otto.away == (DaysOff(date(2026, 12, 24), date(2026, 12, 24)),)


@pytest.mark.parametrize(
    ("kept", "words"),
    [
        ("Anna", "The people are 'Anna', and not a list of at most 8."),
        ([{"name": f"{n}"} for n in range(9)], "and not a list of at most 8."),
        ([{}], "{} has no name."),
        (["Anna"], "'Anna' has no name."),
        ([{"name": " "}], "has no name."),
        ([{"name": "Anna"}, {"name": "Anna "}], "Two people are called Anna."),
        ([{"name": "Anna", "unable": "band saw"}], "What Anna may not use is 'band saw', and no list of stations."),
        ([{"name": "Anna", "hours": "9 to 5"}], "are not hours of one day in their order."),
        ([{"name": "Anna", "away": [{"from": "soon"}]}], "'soon' is not a date."),
    ],
)
def test_what_are_no_people_is_refused(kept, words):
    with pytest.raises(Refused) as error:
        read_people(kept)

    assert words in error.value.what
    assert error.value.next_step


def test_each_is_there_in_their_own_hours_and_neither_when_away_nor_when_the_shop_is_closed():
    people = (
        Person("Anna"),
        Person("Otto", week=read_hours("09:00-12:00"), away=(DaysOff(date(2026, 12, 8), date(2026, 12, 8)),)),
    )
    closed = (DaysOff(date(2026, 12, 7), date(2026, 12, 7)),)
    anna, otto = workers_of(people, read_hours(None), closed, "UTC", MONDAY)

    assert anna.hours(1) == [(MONDAY + 32 * HOUR, MONDAY + 41 * HOUR)]
    assert otto.hours(1) == [(MONDAY + 57 * HOUR, MONDAY + 60 * HOUR)]

"""The shop's hours, from civil time to moments."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from benchbell.findings import Refused
from benchbell.planner.shop_hours import moment_text, read_hours, stretches, zone_name, zone_named

PARIS = ZoneInfo("Europe/Paris")
HOUR = 3_600_000


def at(zone, *civil):
    return int(datetime(*civil, tzinfo=zone).timestamp() * 1000)


def test_nobody_said_means_monday_to_friday_from_eight_to_five():
    week = read_hours(None)

    assert week[:5] == (((480, 1020),),) * 5
    assert week[5:] == ((), ())


def test_a_day_may_have_a_break_and_days_may_be_off():
    week = read_hours({"mon": "08:00-12:00, 12:30-17:00", "sat": "09:00-12:00", "sun": ""})

    assert week[0] == ((480, 720), (750, 1020))
    assert week[1] == ()
    assert week[5] == ((540, 720),)


@pytest.mark.parametrize("wrong", ["8-17", "17:00-08:00", "08:00-12:00, 11:00-17:00", {"noday": "08:00-17:00"}, 8, {}])
def test_what_are_no_hours_is_said_with_an_example(wrong):
    with pytest.raises(Refused) as error:
        read_hours(wrong)

    assert "08:00-17:00" in error.value.next_step


def test_stretches_begin_with_the_one_that_runs_and_skip_days_off():
    now = at(PARIS, 2026, 12, 4, 16, 0)  # a Friday
    found = stretches(read_hours(None), PARIS, now, 61)

    assert found == [
        (at(PARIS, 2026, 12, 4, 8), at(PARIS, 2026, 12, 4, 17)),
        (at(PARIS, 2026, 12, 7, 8), at(PARIS, 2026, 12, 7, 17)),
    ]


def test_the_day_the_clocks_change_keeps_its_civil_hours():
    # Summer time ends on the last Sunday of October at 03:00: Directive 2000/84/EC, article 3.
    week = read_hours({"sat": "22:00-23:00", "sun": "08:00-09:00"})
    found = stretches(week, PARIS, at(PARIS, 2026, 10, 24, 12), 120)

    assert found[1][0] - found[0][0] == 11 * HOUR
    assert [datetime.fromtimestamp(start / 1000, UTC).hour for start, _ in found] == [20, 7]


def test_the_zone_is_what_a_phone_kept_or_that_of_the_quiet_hours():
    assert zone_name({"zone": "Europe/Paris"}) == "Europe/Paris"
    assert zone_name({"quiet": {"from": "21:00", "to": "07:00", "zone": "Europe/Paris"}}) == "Europe/Paris"
    assert zone_name({"zone": 5}) == zone_name({}) == ""
    assert zone_named("Europe/Paris") == PARIS
    assert zone_named("Nowhere/Atall") is zone_named("") is None


@pytest.mark.parametrize(
    ("moment", "words"),
    [
        ((2026, 12, 4, 14, 10), "14:10"),
        ((2026, 12, 5, 8, 0), "Sat 08:00"),
        ((2026, 11, 30, 8, 0), "Mon 08:00"),
        ((2026, 12, 7, 8, 0), "Mon 7 Dec 08:00"),
        ((2026, 12, 14, 8, 5), "Mon 14 Dec 08:05"),
        ((2027, 1, 4, 8, 0), "Mon 4 Jan 2027 08:00"),
    ],
)
def test_a_moment_is_said_by_how_far_it_is(moment, words):
    assert moment_text(at(PARIS, *moment), at(PARIS, 2026, 12, 4, 9), PARIS) == words

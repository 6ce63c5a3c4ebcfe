"""The shop's hours, from civil time to moments."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest
from benchbell.findings import Refused
from benchbell.planner.days_off import DaysOff
from benchbell.planner.shop_hours import moment_text, read_hours, spans_of, stretches, zone_name, zone_named
from hypothesis import given, settings
from hypothesis import strategies as st
from twins import answer_of, ask_the_page, cases, expected

PARIS = ZoneInfo("Europe/Paris")
HOUR = 3_600_000


def spans_listed(text):
    """Working periods as lists, as the page has them."""
    return [list(span) for span in spans_of(text)]


@pytest.mark.parametrize("case", cases("shop_hours"), ids=lambda case: case["rule"])
def test_the_vectors(case):
    assert expected(case) == answer_of({"spans_of": spans_listed}[case["ask"]], *case["given"])


TYPED = st.text(st.sampled_from("0123456789:-–, "), max_size=24) | st.lists(
    st.tuples(*[st.sampled_from(("06:00", "12:00", "12:30", "18:00", "23:59", "00:00", "24:00", "9:00"))] * 2).map(
        "-".join
    ),
    max_size=3,
).map(", ".join)


@settings(max_examples=400, deadline=None)  # the first answer waits for node to start
@given(TYPED)
def test_hours_are_read_the_same_on_the_phone(text):
    assert answer_of(spans_listed, text) == ask_the_page("spans_of", text)


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


def test_hours_may_go_over_midnight():
    week = read_hours({"fri": "16:00-18:00, 18:30-01:00"})

    assert week[4] == ((960, 1080), (1110, 1500))


def test_hours_that_run_into_the_next_day_are_refused_by_the_names_of_both():
    with pytest.raises(Refused, match=r"^The hours of Sun go on until after those of Mon begin\."):
        read_hours({"sun": "20:00-06:30", "mon": "06:00-14:00"})

    assert read_hours({"sun": "20:00-06:00", "mon": "06:00-14:00"})[6] == ((1200, 1800),)


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


def test_nothing_begins_on_a_date_on_which_the_shop_is_closed():
    closed = [DaysOff(date(2026, 12, 7), date(2026, 12, 8), "Moving house")]
    found = stretches(read_hours(None), PARIS, at(PARIS, 2026, 12, 4, 16), 61, closed)

    assert [start for start, _ in found] == [at(PARIS, 2026, 12, 4, 8), at(PARIS, 2026, 12, 9, 8)]


def test_an_evening_over_midnight_is_found_after_midnight_and_outlasts_the_date_before_a_closed_one():
    week = read_hours({"fri": "18:00-01:00"})
    closed = [DaysOff(date(2026, 12, 5), date(2026, 12, 5))]
    evening = (at(PARIS, 2026, 12, 4, 18), at(PARIS, 2026, 12, 5, 1))

    assert stretches(week, PARIS, at(PARIS, 2026, 12, 5, 0, 30), 1, closed) == [evening]
    assert stretches(week, PARIS, at(PARIS, 2026, 12, 5, 1), 1)[0][0] == at(PARIS, 2026, 12, 11, 18)


def test_a_night_in_which_the_clocks_change_is_longer_or_shorter_by_an_hour():
    week = read_hours({"sat": "22:00-06:00"})

    assert [stretches(week, PARIS, at(PARIS, *day, 12), 1) for day in ((2026, 10, 24), (2027, 3, 27))] == [
        [(start := at(PARIS, 2026, 10, 24, 22), start + 9 * HOUR)],
        [(start := at(PARIS, 2027, 3, 27, 22), start + 7 * HOUR)],
    ]


def test_a_time_that_the_clocks_skip_is_as_much_later_and_of_one_shown_twice_it_is_the_first():
    week = read_hours({"sun": "02:30-06:00"})

    assert stretches(week, PARIS, at(PARIS, 2027, 3, 28, 0), 1)[0][0] == at(PARIS, 2027, 3, 28, 3, 30)
    assert stretches(week, PARIS, at(PARIS, 2026, 10, 25, 0), 1)[0][0] == at(PARIS, 2026, 10, 25, 2, 30)


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

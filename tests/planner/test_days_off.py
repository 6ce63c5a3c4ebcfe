"""Days off: read from the shop's settings, and refused with what to do."""

from datetime import date

import pytest
from benchbell.findings import Refused
from benchbell.planner.days_off import DaysOff, is_off, read_days_off

CHRISTMAS = DaysOff(date(2026, 12, 24), date(2027, 1, 1), "Christmas")


def test_days_off_have_a_first_and_a_last_date_and_a_name():
    kept = [{"from": "2026-12-24", "to": "2027-01-01", "name": "Christmas"}, {"from": "2026-12-08"}]

    assert read_days_off(kept) == (CHRISTMAS, DaysOff(date(2026, 12, 8), date(2026, 12, 8)))
    assert read_days_off(None) == ()


def test_both_the_first_and_the_last_date_are_off():
    assert [is_off(date(2026, 12, day), [CHRISTMAS]) for day in (23, 24, 31)] == [False, True, True]
    assert [is_off(date(2027, 1, day), [CHRISTMAS]) for day in (1, 2)] == [True, False]


WRONG = {
    "a word": ("Christmas", "The days off are 'Christmas', and not a list of at most 100. "),
    "too many": ([{"from": "2026-12-24"}] * 101, "and not a list of at most 100. "),
    "no table": (["2026-12-24"], "A day off is '2026-12-24', and has no date. "),
    "no date": ([{"to": "2026-12-24"}], "None is not a date. "),
    "no such date": ([{"from": "2026-02-30"}], "'2026-02-30' is not a date. "),
    "a number": ([{"from": 20261224}], "20261224 is not a date. "),
    "turned round": (
        [{"from": "2026-12-24", "to": "2026-01-01"}],
        "Days off from 2026-12-24 to 2026-01-01 end before they begin. ",
    ),
    "a slip in the year": (
        [{"from": "2026-12-24", "to": "2036-01-01"}],
        "Days off from 2026-12-24 to 2036-01-01 are more than a year. Correct the year.",
    ),
    "far away": ([{"from": "9999-01-01"}], "9999-01-01 is too far away. Correct the year."),
}


@pytest.mark.parametrize("way", WRONG)
def test_what_are_no_days_off_is_refused_with_what_to_do(way):
    kept, words = WRONG[way]
    with pytest.raises(Refused) as error:
        read_days_off(kept)

    assert words in str(error.value)
    assert error.value.next_step in ("Write dates like 2026-12-24, the first one first.", "Correct the year.")

"""A forecast in words on the terminal."""

from datetime import datetime

import pytest
from benchbell.commands.forecast_lines import forecast_line, promised, roughly
from benchbell.plan.report.messages import Forecast


def at(month, day, hour=9, minute=0, year=2026):
    """A moment by this machine's time, in ms."""
    return int(datetime(year, month, day, hour, minute).timestamp() * 1000)


NOW = at(12, 1)
"""A Tuesday."""


def forecast(soonest, likely, latest, **more):
    """A forecast of a stool that as planned is done when it is likely to be."""
    given = {"finish": likely, "timed": 12, "due": None, "odds": None} | more
    return Forecast("b", "Stool", soonest=soonest, likely=likely, latest=latest, **given)


@pytest.mark.parametrize(
    ("moment", "words"),
    [
        (at(12, 1, 16, 1), "16:15"),
        (at(12, 1, 16, 15), "16:15"),
        (at(12, 2, 12), "Wed morning"),
        (at(12, 2, 17), "Wed afternoon"),
        (at(12, 2, 17, 1), "Wed evening"),
        (at(12, 15, 11, 7), "Tue 15 Dec"),
        (at(1, 12, 11, year=2027), "Tue 12 Jan 2027"),
    ],
)
def test_the_nearer_a_moment_is_the_more_exactly_it_is_told(moment, words):
    assert roughly(moment, NOW) == words


def test_a_date_is_told_with_the_one_by_which_it_is_surely_done():
    wide = forecast(at(12, 14), at(12, 15), at(12, 17))
    narrow = forecast(at(12, 15, 9), at(12, 15, 10), at(12, 15, 16))

    assert forecast_line(wide, NOW) == "Stool: likely Tue 15 Dec, surely by Thu 17 Dec. From 12 timed operations."
    assert forecast_line(narrow, NOW) == "Stool: surely by Tue 15 Dec. From 12 timed operations."


def test_where_the_plan_ends_on_another_day_it_is_said_to_be_the_plans():
    told = forecast_line(forecast(at(12, 14), at(12, 15), at(12, 17), finish=at(12, 12)), NOW)

    assert told.startswith("Stool: likely Tue 15 Dec, surely by Thu 17 Dec; if all goes as planned, Sat 12 Dec. From")


def test_while_nothing_is_timed_nothing_is_called_sure():
    told = forecast_line(forecast(*[at(12, 3)] * 3, timed=0, due=at(12, 4, 17), odds=10), NOW)

    assert told == (
        "Stool: most likely no later than Thu morning. Promised for Fri: most likely kept. "
        "A rough guess: nothing has been timed yet."
    )
    assert "surely" not in forecast_line(forecast(at(12, 14), at(12, 15), at(12, 17), timed=0), NOW)


@pytest.mark.parametrize(
    ("odds", "words"),
    [
        (10, "surely kept."),
        (9, "surely kept, 9 of 10."),
        (7, "likely kept, 7 of 10."),
        (6, "as likely kept as not, 6 of 10."),
        (3, "hardly kept, 3 of 10."),
        (0, "not kept by this plan."),
    ],
)
def test_odds_in_words(odds, words):
    assert promised(forecast(NOW, NOW, NOW, due=at(12, 1, 17), odds=odds), NOW) == f"Promised for today: {words}"

"""When builds will be done: likely, surely, and the odds of a promise."""

import pytest
from benchbell.plan.model.problem import Window
from benchbell.plan.odds.pace import UNTIMED, learned
from benchbell.plan.odds.timings import Timing
from benchbell.plan.report.forecast import day_opens, forecast, likely
from msgspec.structs import replace
from plan.shop_day import HOUR, MINUTE, MONDAY, build_of, presented
from small_recipes import FIT, PARTS, glue, work

GLUED = PARTS + FIT + glue("")
DAYS = [0, 100, 200, 300]
"""When each day begins."""


def done_on(*counts):
    """Ten finishes for each day in turn, so many of them on it."""
    return [100 * day + n for day, count in enumerate(counts) for n in range(count)]


def test_within_one_day_the_likely_moment_is_the_middle_one():
    assert likely(done_on(0, 10), DAYS) == 105


@pytest.mark.parametrize(
    ("counts", "moment"),
    [
        ((5, 5), 4),  # the median is a night later, but this evening is kept just as often
        ((4, 6), 3),  # four of ten are nearer to half than ten
        ((3, 7), 102),  # three of ten are too few to be called likely
        ((4, 1, 5), 100),  # by the second day it is exactly half
        ((2, 2, 4, 2), 101),  # the day whose end is kept four times of ten, and not the median's
    ],
)
def test_the_likely_day_is_kept_about_half_the_time(counts, moment):
    assert likely(done_on(*counts), DAYS) == moment


def test_a_day_begins_after_a_night_and_not_after_lunch():
    windows = [Window(0, 240), Window(300, 540), Window(1440, 1680), Window(1740, 1980)]

    assert day_opens(windows) == [0, 1440]


def test_eight_of_ten_finishes_are_in_the_range_and_a_promise_counts_those_in_time():
    build = replace(build_of(GLUED), due=30)
    found = forecast(build, 20, list(range(20)) + [50] * 20, [0], UNTIMED)

    assert (found.soonest, found.latest, found.odds) == (4, 50, 5)
    assert forecast(build, 20, list(range(40)), [0], UNTIMED).odds == 8
    assert forecast(replace(build, due=None), 20, list(range(40)), [0], UNTIMED).odds is None


def test_the_more_is_timed_the_narrower_the_range():
    build = build_of(PARTS + work("cut", ["leg"], "minutes = 240"))
    timings = [Timing(f"past {n}", "bench", "", 30, 33 + n % 3) for n in range(200)]
    guess, known = (presented(build, pace=pace).forecasts[0] for pace in (UNTIMED, learned(timings)))

    assert (guess.timed, known.timed) == (0, 200)
    assert known.latest - known.soonest < (guess.latest - guess.soonest) / 2
    assert guess.soonest <= guess.likely <= guess.latest


def test_waits_are_not_by_chance():
    glued = build_of(PARTS + FIT + glue("") + work("last", ["frame"], 'station = "table saw"\nminutes = 1'))
    bare = build_of(PARTS + FIT + work("last", ["leg"], "minutes = 1"))
    with_wait, without = (presented(build).forecasts[0] for build in (glued, bare))
    wait = with_wait.likely - without.likely

    assert wait > 20 * HOUR
    assert with_wait.latest - with_wait.soonest < 90 * MINUTE


def test_a_promise_that_is_easily_kept_and_one_that_cannot_be():
    easy, hopeless = (
        presented(build_of(GLUED, due=due)).forecasts[0].odds for due in (MONDAY + 500 * HOUR, MONDAY + MINUTE)
    )

    assert (easy, hopeless) == (10, 0)


def test_a_forecast_does_not_change_while_nothing_does():
    assert presented(build_of(GLUED, pieces=3)).forecasts == presented(build_of(GLUED, pieces=3)).forecasts


def test_a_build_of_which_something_is_not_planned_has_no_forecast():
    other = build_of(PARTS + work("cut", ["leg"], "minutes = 30"), id="other")
    clamped = build_of(PARTS + FIT + glue(', clamps = { "heavy F" = 2 }'))
    plan = presented(clamped, other, clamps={"heavy F": 1})

    assert {one.build for one in plan.unplanned} == {"b"}
    assert [one.build for one in plan.forecasts] == ["other"]

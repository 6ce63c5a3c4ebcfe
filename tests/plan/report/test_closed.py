"""Hours in which the shop is closed are called what they are."""

import pytest
from benchbell.plan.model.hours import FAR
from benchbell.plan.report.closed import words_of
from benchbell.plan.report.kept_in_words import KEPT_WORDS
from benchbell.plan.report.what_keeps import Kept
from plan.report.contexts import context_for, say
from plan.shop_day import build_of
from small_recipes import PARTS, work

DAY = 1440


@pytest.mark.parametrize(
    ("closes", "opens", "words"),
    [
        (240, 270, "over lunch"),
        (540, DAY, "overnight"),
        (4 * DAY + 540, 7 * DAY, "over the weekend"),
        (5 * DAY + 240, 7 * DAY, "over the weekend"),
        (DAY + 540, 3 * DAY, "while the shop is closed"),
        (-120, 840, "while the shop is closed"),
        (1080, 1110, "over the break"),
        (540, FAR, "while the shop is closed"),
    ],
    ids=[
        "lunch",
        "night",
        "weekend",
        "from saturday",
        "a day off",
        "day of a night shift",
        "break at night",
        "the end",
    ],
)
def test_a_closing_has_the_word_for_its_hours(closes, opens, words):
    assert words_of(closes, opens, say) == words


COAT = work("oil", ["leg"], 'coat = { with = "waterborne", coats = 2, recoat = "2 h" }')
OIL = "b|A/oil-1|work"


LUNCH = "08:00-12:00, 12:30-17:00"


def waiting(until, setup, first=0, week=None):
    """Why the second coat, taken up at minute `setup`, waits for the first, done at `first`, until that minute."""
    second = "b|A/oil-2|work"
    c = context_for(build_of(PARTS + COAT), week=week, starts={OIL: first, second: setup})
    return KEPT_WORDS["wait"](c.t.at[second], Kept("wait", until, (OIL,)), c)


def test_a_wait_that_ends_while_the_shop_is_closed_says_when_it_is_closed():
    assert waiting(250, 270, week=LUNCH) == "“Oil, coat 1 of 2” dries until 12:10, over lunch."
    assert waiting(600, DAY, first=480) == "Overnight “Oil, coat 1 of 2” dries."


def test_a_wait_over_two_nights_is_not_said_to_be_one():
    assert waiting(DAY + 600, 2 * DAY) == "“Oil, coat 1 of 2” dries until Tue 18:00, overnight."


def test_in_open_hours_it_says_the_moment_and_beside_setting_up_no_moment_before_which_it_is_not_begun():
    assert waiting(120, 120) == "Not before 10:00: “Oil, coat 1 of 2” dries until then."
    assert waiting(123, 120) == "“Oil, coat 1 of 2” dries until 10:03, while you set up."

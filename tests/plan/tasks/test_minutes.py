"""What is left of work that has been in hand for a while."""

import pytest
from benchbell.bench.happenings import Began, Ticked
from benchbell.plan.tasks.minutes import STILL, minutes_left
from plan.open_builds import build_of
from small_recipes import PARTS, work

CUT = PARTS + work("cut", ["leg"], 'station = "lathe"\nminutes = { each = 30 }')


def left(*whats, gone=0):
    """Minutes left of turning two legs, half an hour each, when so many have been open since."""
    build = build_of(CUT, *whats)
    return minutes_left(build.sheet.operations[0], build.bench.operations["A/cut"], lambda _, most: min(gone, most))


@pytest.mark.parametrize(("gone", "minutes"), [(0, 60), (49, 11), (57, STILL), (600, STILL)])
def test_what_has_gone_since_it_began_is_not_to_come(gone, minutes):
    assert left(Began("A/cut"), gone=gone) == minutes


def test_what_is_not_begun_has_all_of_its_minutes():
    assert left(gone=30) == 60


@pytest.mark.parametrize(("gone", "minutes"), [(0, 30), (12, 18), (600, STILL)])
def test_since_a_part_is_through_the_next_one_counts(gone, minutes):
    assert left(Began("A/cut"), Ticked("A/cut", "A/leg-1"), gone=gone) == minutes


def test_it_is_never_less_than_a_minute():
    assert left(Began("A/cut"), Ticked("A/cut", "A/leg-1"), Ticked("A/cut", "A/leg-2"), gone=600) == 1


def test_it_counts_from_the_last_part():
    build = build_of(CUT, Began("A/cut"), Ticked("A/cut", "A/leg-1"))
    since = []
    minutes_left(build.sheet.operations[0], build.bench.operations["A/cut"], lambda at, _: since.append(at) or 0)

    assert since == [2 * 60_000]

"""Forecasts over simulated shops with hidden paces: they are kept as often as they say, and no wider than they must be.

`tests/speed/plan_odds.py` has the same over more shops and recipes.
"""

import pytest
from plan.simulated_shop import coverage

SHOPS = range(120)


@pytest.fixture(scope="module")
def learned_shops():
    """Shops that have built a hall bench and a garden stool six times each."""
    return coverage(["hall-bench", "garden-stool"], 1, 6, SHOPS)


def test_eight_of_ten_builds_are_done_within_the_range(learned_shops):
    assert 0.75 <= learned_shops.inside <= 0.85


def test_half_of_all_builds_are_done_by_the_likely_moment(learned_shops):
    assert 0.4 <= learned_shops.kept <= 0.6


def test_nine_of_ten_builds_are_done_by_the_sure_moment(learned_shops):
    assert 0.85 <= learned_shops.surely <= 0.95


def test_the_range_is_hardly_wider_than_chance_makes_it_and_without_a_log_wider(learned_shops):
    unlearned = coverage(["hall-bench", "garden-stool"], 1, 0, SHOPS[:60])

    assert 1 <= learned_shops.too_wide <= 1.5
    assert unlearned.too_wide > 1.25 * learned_shops.too_wide
    assert 0.7 <= unlearned.inside <= 0.9

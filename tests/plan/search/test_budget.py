"""How long the search may go on."""

import pytest
from benchbell.plan.search.budget import LEAST_TRIES, dearer, tries, tries_for


def test_a_shop_of_a_hundred_operations_gets_over_a_thousand_tries():
    assert tries_for(100) == 150_000 * 600 // (100 * 700) == 1285


def test_what_takes_longer_counts_as_several_tries():
    left = tries(10)
    dear = dearer(left, 3)

    assert [dear(), left(), dear()] == [0.7, 0.6, 0.3]


def test_the_more_operations_the_less_all_tries_place():
    placed = [operations * tries_for(operations) for operations in (10, 50, 200, 800)]

    assert placed == sorted(placed, reverse=True)


@pytest.mark.parametrize("operations", [3000, 1_000_000])
def test_even_the_most_operations_get_some_tries(operations):
    assert tries_for(operations) >= LEAST_TRIES


def test_with_nothing_to_plan_there_is_a_budget_too():
    assert tries(tries_for(0))() > 0

"""How long the search may go on."""

import pytest
from benchbell.plan.search.budget import LEAST_TRIES, tries, tries_for


def test_a_shop_of_a_hundred_operations_gets_over_a_thousand_tries():
    assert tries_for(100, 1) == 150_000 * 600 // (100 * 700) == 1285


def test_several_pairs_of_hands_get_fewer_since_each_try_takes_longer():
    assert [tries_for(100, hands) for hands in (1, 2, 3, 8)] == [1285, 257, 214, 116]


@pytest.mark.parametrize("hands", [1, 2, 8])
def test_the_more_operations_the_less_all_tries_place(hands):
    placed = [operations * tries_for(operations, hands) for operations in (10, 50, 200, 800)]

    assert placed == sorted(placed, reverse=True)


@pytest.mark.parametrize(("operations", "hands"), [(3000, 1), (3000, 2), (1_000_000, 8)])
def test_even_the_most_operations_get_some_tries(operations, hands):
    assert tries_for(operations, hands) >= LEAST_TRIES


def test_with_nothing_to_plan_there_is_a_budget_too():
    assert tries(tries_for(0, 1))() > 0

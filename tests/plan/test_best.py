"""On problems small enough to try every order, the search finds the best plan there is."""

from benchbell.plan.chance import Chance
from benchbell.plan.impossible import possible
from benchbell.plan.planner import plan_for, tries
from hypothesis import given, settings
from plan.brute import best_of_all
from plan.problems import problems


@settings(max_examples=60)
@given(problems(most=5, limits=False, circles=False))
def test_no_order_is_better_than_the_plan(problem):
    rest, _ = possible(problem)
    plan = plan_for(rest, tries(600), Chance(1))
    best = best_of_all(rest)

    assert best == (plan.late, plan.finish, plan.changes)
    assert plan.bound <= best[1]

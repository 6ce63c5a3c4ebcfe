"""On problems small enough to try every order, the search finds the optimum.

A heuristic need not find it, so the problems are the same ones in every run.
"""

from benchbell.plan.planner import plan_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.random import Random
from hypothesis import given, settings
from plan.brute import best_of_all
from plan.problems import problems


@settings(max_examples=150, derandomize=True)
@given(problems(most=5, limits=False, cycles=False, craft=False))
def test_no_order_is_better_than_the_plan(problem):
    rest, _ = feasible_part(problem)
    plan = plan_for(rest, tries(2000), Random(1))
    best = best_of_all(rest)

    assert best == (plan.late, plan.finish, plan.changes)
    assert plan.bound <= best[1]

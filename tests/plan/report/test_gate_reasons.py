"""A plan with a measured gate, from the recipe to the reason."""

from dry_recipe import DRY
from plan.shop_day import build_of, presented


def test_the_step_after_the_measuring_says_what_it_waits_for():
    reasons = {step.operation: step.reason for step in presented(build_of(DRY)).steps}

    assert reasons["A/cut"].startswith("Only once moisture is at most 9 %: the plan takes that for granted.")
    assert "Only once" not in reasons["A/measure"] + reasons["A/plane"]

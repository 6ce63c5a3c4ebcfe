"""The search mends faults of craft on the same day of finish."""

import pytest
from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Craft, Link, Op, Problem, Window
from benchbell.plan.planner import plan_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random
from msgspec.structs import replace

DAYS = (Window(0, 540), Window(1440, 1980))
CASES = {
    "visits": Problem(
        0, DAYS, (), {}, tuple(Op(f"{n}", 10, station=("saw", "planer", "lathe")[n % 3]) for n in range(9))
    ),
    "dust": Problem(
        0, DAYS, (), {},
        (*(Op(f"sand{n}", 30, dusty=True) for n in range(4)), *(Op(f"coat{n}", 10, wet=120) for n in range(2))),
        (Link("sand0", "coat0"), Link("sand1", "coat1")),
    ),
    "squeeze-out": Problem(
        0, DAYS, (), {},
        (Op("glue", 30, fiddly=True), Op("scrape", 5), *(Op(f"plane{n}", 100) for n in range(4))),
        (Link("glue", "scrape", 30, wanted=60), Link("plane0", "glue")),
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_a_plan_without_a_fault_is_found_where_there_is_one_that_finishes_as_early(case):
    without = plan_for(CASES[case], tries(400), Random(1))
    problem = replace(CASES[case], craft=Craft())
    plan = plan_for(problem, tries(400), Random(1))

    assert faults(problem, plan) == []
    assert (plan.craft, plan.day) == (0, without.day)
    assert plan.finish <= without.finish + 30


def test_a_fault_is_kept_where_being_without_it_would_cost_a_day():
    """By hand: the coat must be on before the sanding, and both must be done today."""
    ops = (Op("coat", 30, wet=600), Op("sand", 500, dusty=True))
    problem = Problem(0, DAYS, (), {}, ops, (Link("coat", "sand"),), craft=Craft(dust=1000))
    plan = plan_for(problem, tries(200), Random(1))

    assert (plan.finish, plan.day, plan.craft) == (530, 0, 1000)


def test_a_fault_is_avoided_by_a_later_finish_that_costs_less():
    ops = (Op("saw", 470), Op("glue", 20), Op("sand", 60, breakable=True))
    problem = Problem(0, DAYS, (), {}, ops, (Link("saw", "glue"), Link("glue", "sand")), craft=Craft())
    plan = plan_for(problem, tries(200), Random(1))

    assert plan.craft == 0
    assert plan.placed[-1].start == 495

"""The lower bound on the finish; expected values computed by hand."""

import pytest
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Link, Op, Problem, Station, Window
from benchbell.plan.search.bound import least_changes, lower_bound

DAYS = (Window(0, 100), Window(1000, 1100))
SAW = Station("saw", "rip", {"rip": {"mitre": 10, "groove": 30}, "mitre": {"groove": 20}, "groove": {"mitre": 5}})
CASES = {
    "a chain with its wait through the night": ((Op("a", 20), Op("b", 10)), (Link("a", "b", 50),), 80),
    "a chain that reaches the next day": ((Op("a", 20), Op("b", 10)), (Link("a", "b", 75),), 1010),
    "what does not fit beside the rest waits for the morning": ((Op("a", 60), Op("b", 60)), (), 1060),
    "a run by itself": ((Op("a", 20, 500),), (), 520),
    "what is ready late": ((Op("a", 20, ready=95),), (), 1020),
    "breakable work goes on in the morning": ((Op("a", 20, ready=95, breakable=True),), (), 1015),
    "each setup is come to once, the shortest way": (
        (Op("a", 35, 0, "saw", "mitre"), Op("b", 35, 0, "saw", "groove")), (), 95,
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", CASES)
def test_the_lower_bound(what):
    ops, links, finish = CASES[what]

    assert lower_bound(compile_problem(Problem(0, DAYS, (SAW,), {}, ops, links)), 1100) == finish


def test_each_setup_that_does_not_stand_is_a_change():
    ops = (
        Op("a", 1, 0, "saw", "mitre"),
        Op("b", 1, 0, "saw", "mitre"),
        Op("c", 1, 0, "saw", "rip"),
        Op("d", 1, 0, "saw"),
    )

    assert least_changes(compile_problem(Problem(0, DAYS, (SAW,), {}, ops))) == 1

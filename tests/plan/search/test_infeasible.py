"""What cannot be planned is named before planning, with the figures and what to do."""

import pytest
from benchbell.plan.model.problem import Hold, Link, Op, Problem, Window
from benchbell.plan.search.infeasible import feasible_part

SHORT = (Window(0, 60), Window(100, 200))
CASES = {
    "longer than every window": (
        Problem(0, SHORT, (), {}, (Op("a", 101),)),
        [("a", "It takes 101 min in one go, the longest stretch of working hours is 100 min. "
               "Divide it, mark it breakable, or work longer that day.")],
    ),
    "breakable, and so feasible": (Problem(0, SHORT, (), {}, (Op("a", 101, breakable=True),)), []),
    "more clamps than the shop has, and what comes after": (
        Problem(0, SHORT, (), {"bar": 2}, (Op("a", 5), Op("b", 5), Op("c", 5)), (Link("b", "c"),),
                (Hold("bar", 2, "a", "b"), Hold("bar", 1, "a", "b"))),
        [("a", "It takes 3 bar clamps, the shop has 2. Glue up in parts, or get more."),
         ("b", "It comes after a, which cannot be planned. See to that first."),
         ("c", "It comes after a, which cannot be planned. See to that first.")],
    ),
    "no clamps of that kind at all": (
        Problem(0, SHORT, (), {}, (Op("a", 5),), (), (Hold("bar", 1, "a", "a"),)),
        [("a", "It takes 1 bar clamp, the shop has 0. Glue up in parts, or get more.")],
    ),
    "a circle": (
        Problem(0, SHORT, (), {}, (Op("a", 5), Op("b", 5), Op("c", 5)),
                (Link("a", "b"), Link("b", "a"), Link("b", "c"))),
        [("a", "It waits for b, and that waits for it. Take one of these links away."),
         ("b", "It waits for a, and that waits for it. Take one of these links away."),
         ("c", "It comes after a, which cannot be planned. See to that first.")],
    ),
    "two at once, each with what comes after it": (
        Problem(0, SHORT, (), {}, (Op("a", 101), Op("b", 101), Op("c", 5), Op("d", 5)),
                (Link("b", "c"), Link("a", "d"))),
        [("a", "It takes 101 min in one go, the longest stretch of working hours is 100 min. "
               "Divide it, mark it breakable, or work longer that day."),
         ("b", "It takes 101 min in one go, the longest stretch of working hours is 100 min. "
               "Divide it, mark it breakable, or work longer that day."),
         ("c", "It comes after b, which cannot be planned. See to that first."),
         ("d", "It comes after a, which cannot be planned. See to that first.")],
    ),
    "clamps held for good": (
        Problem(0, SHORT, (), {"bar": 2}, (Op("a", 5),), (), (Hold("bar", 1, "", ""), Hold("bar", 2, "a", ""))),
        [("a", "Its clamps never come free: others hold them for good. Get more, or glue up in parts.")],
    ),
    "no hours left": (
        Problem(0, (Window(0, 60),), (), {}, (Op("a", 40), Op("b", 30))),
        [("b", "It does not fit into the working hours that are known. Give more hours, or plan less.")],
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", CASES)
def test_reasons(what):
    problem, reasons = CASES[what]

    assert [(op, why) for op, why, _ in feasible_part(problem)[1]] == reasons


@pytest.mark.parametrize("what", CASES)
def test_what_comes_after_something_left_out_names_it(what):
    for _, why, after in feasible_part(CASES[what][0])[1]:
        assert why.startswith(f"It comes after {after}, which cannot") if after else "cannot be planned" not in why


def test_two_glue_ups_that_need_each_others_clamps_are_planned_one_after_the_other():
    """A greedy choice deadlocks: both glue-ups take two clamps and wait forever for two more."""
    ops = tuple(Op(f"{act}{n}", 5) for n in (1, 2) for act in ("frame", "case", "off"))
    links = tuple(Link(f"{a}{n}", f"{b}{n}") for n in (1, 2) for a, b in (("frame", "case"), ("case", "off")))
    holds = tuple(Hold("bar", 2, f"{act}{n}", f"off{n}") for n in (1, 2) for act in ("frame", "case"))
    problem = Problem(0, SHORT, (), {"bar": 4}, ops, links, holds)

    assert feasible_part(problem) == (problem, [])


def test_what_is_left_keeps_clamps_in_use_that_are_never_taken_off():
    problem = Problem(
        0,
        SHORT,
        (),
        {"bar": 3},
        (Op("a", 5), Op("off", 101)),
        (),
        (Hold("bar", 2, "a", "off"), Hold("bar", 1, "", "off")),
    )
    rest, _ = feasible_part(problem)

    assert rest.holds == (Hold("bar", 2, "a", ""), Hold("bar", 1, "", ""))

"""What is said to keep an operation keeps it: without that alone it could start sooner, and with it, it could not."""

from collections import Counter

import pytest
from benchbell.plan.model.problem import Hold, Link, Op, Problem, Window
from benchbell.plan.report.clamp_waits import clamp_waits
from benchbell.plan.report.earlier import kept
from benchbell.plan.search.infeasible import feasible_part
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.problems import problems
from plan.report.taken_away import changed, is_sound, moved, open_later, with_clamps, without_links
from plan.report.timelines import timeline
from plan.shop_day import shipped_problem


def everything_kept(t):
    """(operation, what keeps it) for each that something keeps."""
    waits = clamp_waits(t)
    return [(one, found) for one in t.plan.placed if (found := kept(one, t, waits.get(one.op)))]


def moments_before(one, t):
    """The last hour before it is taken up, and before each closing time before that."""
    ends = [one.setup, *(at for at in t.compiled.hours.closes if at < one.setup)]
    return sorted({at for end in ends for at in range(max(t.problem.start, end - 61), end)})


def without(one, found, t):
    """The problem without what is said to keep the operation."""
    if found.what == "wait":
        return without_links(t.problem, found.ops, one.op)
    if found.what == "clock":
        return changed(t.problem, one.op, ready=t.problem.start)
    if found.what == "clamps":
        roomy = with_clamps(t.problem, found.kinds)
        return replace(roomy, hands=roomy.hands + 1) if t.hands_before[one.op] in found.ops else roomy
    return open_later(t.problem, found.until) if found.what == "closing" else t.problem


def assert_kept(one, found, t, sooner):
    """It cannot be taken up at any of these moments, and without what keeps it at one of them."""
    assert not any(is_sound(t.problem, moved(t.problem, t.plan, one.op, at)) for at in sooner)
    in_use = f"{one.op} takes {t.ops[one.op].station} at" if found.what == "station" else "no rule is left out"
    rest = without(one, found, t)
    assert any(is_sound(rest, moved(rest, t.plan, one.op, at), in_use) for at in sooner)


@settings(max_examples=400, deadline=None)
@given(problems(cycles=False), st.integers(1, 3))
def test_without_what_keeps_it_alone_it_could_start_sooner(problem, hands):
    rest, _ = feasible_part(replace(problem, hands=hands))
    t = timeline(rest)

    for one, found in everything_kept(t):
        if found.what != "follow":
            assert_kept(one, found, t, moments_before(one, t))


@settings(max_examples=400, deadline=None)
@given(problems(cycles=False), st.integers(1, 3))
def test_what_is_named_is_what_it_waits_for(problem, hands):
    rest, _ = feasible_part(replace(problem, hands=hands))
    t = timeline(rest)

    for one, found in everything_kept(t):
        if found.what == "wait":
            lags = {x.before: x.lag for x in rest.links if x.after == one.op}
            assert all(one.start >= t.at[op].free + lags.get(op, 0) for op in found.ops)
        if found.what == "station":
            assert t.ops[found.ops[0]].station == t.ops[one.op].station
            assert found.until == t.at[found.ops[0]].free <= one.setup
        if found.what == "clamps":
            assert any(hold.give == found.ops[0] and hold.kind in found.kinds for hold in rest.holds)
        assert found.what == "follow" or found.until <= one.start


@pytest.mark.parametrize("hands", [1, 2])
def test_in_plans_of_shipped_recipes_too(hands):
    t = timeline(shipped_problem("hall-bench", "bedside-table", hands=hands))
    closes = t.compiled.hours.closes
    said = Counter()
    for one, found in everything_kept(t):
        said[found.what] += 1
        needed = one.start - one.setup + (1 if t.ops[one.op].breakable else t.ops[one.op].minutes)
        before = [at - needed for at in closes if at - needed < one.setup][-3:]
        assert_kept(one, found, t, [one.setup - 1, *before] if found.what != "closing" else [found.until - 15])

    assert said["wait"] > 3


DAYS = (Window(0, 540), Window(1440, 1980), Window(2880, 3420))


def only(op, hands=1, days=DAYS, **more):
    """What keeps one operation of a small problem."""
    problem = Problem(0, days, (), hands=hands, **{"clamps": {}, **more})
    t = timeline(problem)
    return next((found for one, found in everything_kept(t) if one.op == op), None)


def test_of_two_waits_that_are_over_together_both_are_named():
    ops = (Op("a", 10), Op("b", 10), Op("c", 10))
    found = only("c", ops=ops, links=(Link("a", "c", 60), Link("b", "c", 50)))

    assert (found.what, found.until, found.ops) == ("wait", 70, ("a", "b"))


def test_of_two_waits_the_later_one_is_named():
    found = only("c", ops=(Op("a", 10), Op("b", 10), Op("c", 10)), links=(Link("a", "c", 90), Link("b", "c", 20)))

    assert found.ops == ("a",)


def test_while_the_hands_are_busy_nothing_else_keeps_it():
    assert only("b", ops=(Op("a", 100), Op("b", 10)), links=(Link("a", "b"),)) is None


def test_with_two_hands_what_would_not_be_done_by_closing_time_needs_a_free_hand():
    ops = (Op("a", 500), Op("b", 500), Op("c", 100))

    assert only("c", ops=ops, hands=2).what == "closing"
    assert only("c", ops=(Op("a", 535), Op("b", 535), Op("c", 100)), hands=2) is None


def test_clamps_that_another_glue_up_has_are_named_with_what_gives_them_back():
    ops = (Op("glue a", 10), Op("off a", 5), Op("glue b", 10), Op("off b", 5))
    links = (Link("glue a", "off a", 60), Link("glue b", "off b", 60))
    holds = (Hold("bar", 2, "glue a", "off a"), Hold("bar", 2, "glue b", "off b"))
    found = only("glue b", ops=ops, links=links, holds=holds, clamps={"bar": 2}) or only(
        "glue a", ops=ops, links=links, holds=holds, clamps={"bar": 2}
    )

    assert (found.what, found.kinds) == ("clamps", ("bar",))
    assert found.ops[0].startswith("off ")


def test_what_must_be_followed_soon_waits_for_a_time_at_which_it_can_be():
    ops = (Op("coat 1", 30), Op("coat 2", 30))
    found = only(
        "coat 1", ops=(Op("saw", 300), *ops), links=(Link("saw", "coat 1"), Link("coat 1", "coat 2", 240, 300))
    )

    assert (found.what, found.until, found.ops) == ("follow", 300, ("coat 2",))

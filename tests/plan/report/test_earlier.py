"""What is said to keep an operation keeps it: without that alone it could start sooner, and with it, it could not."""

from collections import Counter

import pytest
from benchbell.plan.model.check_craft import craft_of
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Craft, Hand, Hold, Link, Op, Placed, Plan, Problem, Window
from benchbell.plan.report.clamp_waits import clamp_waits
from benchbell.plan.report.craft_keeps import kept_by_craft
from benchbell.plan.report.earlier import kept
from benchbell.plan.report.timeline import timeline_of
from benchbell.plan.report.what_keeps import Kept
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
    """When the shop opens or others end before it, and the last hour before it is taken up, and before each closing."""
    ends = [one.setup, *(at for at in t.compiled.hours.closes if at < one.setup)]
    changes = {at for other in t.plan.placed for at in (other.end, other.free)}.union(t.compiled.hours.opens)
    return sorted(
        {at for at in changes if at < one.setup}.union(*(range(max(t.problem.start, end - 61), end) for end in ends))
    )


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


CRAFT = {"left": "torn", "begun": "torn", "dust": "dust", "wet": "dust", "hurry": "fiddly"}
"""What keeps an operation, to what that fault costs."""


def assert_kept_by_craft(one, found, t, sooner):
    """Every rule lets it be taken up at some of these moments; each costs craft, but for this kind of fault none does.

    Visits are left out: which hands come back to a station changes with the order.
    """
    plans = [moved(t.problem, t.plan, one.op, at) for at in sooner]
    plans = [plan for plan in plans if is_sound(t.problem, plan)]

    def costs(**craft):
        problem = replace(t.problem, craft=replace(t.problem.craft, visit=0, **craft))
        return [craft_of(problem, plan) - craft_of(problem, t.plan) for plan in plans]

    assert plans
    assert min(costs()) > 0
    assert min(costs(**{CRAFT[found.what]: 0})) <= 0


def assert_kept(one, found, t, sooner):
    """It cannot be taken up at any of these moments, and without what keeps it at one of them.

    Without a closing time, what is interrupted by it would be done sooner: that is left out.
    """
    assert not any(is_sound(t.problem, moved(t.problem, t.plan, one.op, at)) for at in sooner)
    left_out = {"station": f"{one.op} takes {t.ops[one.op].station} at", "closing": "is worked on for"}
    in_use = left_out.get(found.what, "no rule is left out")
    rest = without(one, found, t)
    assert any(is_sound(rest, moved(rest, t.plan, one.op, at), in_use) for at in sooner)


@settings(max_examples=400, deadline=None)
@given(problems(cycles=False), st.integers(1, 3))
def test_without_what_keeps_it_alone_it_could_start_sooner(problem, hands):
    rest, _ = feasible_part(replace(problem, hands=hands))
    t = timeline(rest)

    for one, found in everything_kept(t):
        if found.what in CRAFT:
            assert_kept_by_craft(one, found, t, moments_before(one, t))
        elif found.what not in ("follow", "wanted"):
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
        assert found.what in ("follow", "wanted", *CRAFT) or found.until <= one.start


@pytest.mark.parametrize("hands", [1, 2])
def test_in_plans_of_shipped_recipes_too(hands):
    t = timeline(shipped_problem("hall-bench", "bedside-table", hands=hands))
    closes = t.compiled.hours.closes
    said = Counter()
    for one, found in everything_kept(t):
        said[found.what] += 1
        needed = one.start - one.setup + (1 if t.ops[one.op].breakable else t.ops[one.op].minutes)
        before = [at - needed for at in closes if at - needed < one.setup][-3:]
        if found.what in CRAFT:
            assert_kept_by_craft(one, found, t, [one.setup - 1, *before])
        elif found.what not in ("follow", "wanted"):
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


def test_who_alone_may_use_a_station_keeps_it_while_away():
    crew = (Hand("Anna", away=(Window(0, 60),)), Hand("Otto", unable=("saw",)))
    more = {"ops": (Op("cut", 30, station="saw"),), "hands": 2}
    found = only("cut", crew=crew, **more)

    assert (found.what, found.until) == ("away", 60)
    assert only("cut", crew=(crew[0], Hand("Otto", away=(Window(0, 30),))), **more) is None


def test_what_would_leave_a_short_piece_of_work_is_begun_later():
    ops = (Op("saw", 500), Op("sand", 45, breakable=True))
    found = only("sand", ops=ops, links=(Link("saw", "sand"),), craft=Craft())

    assert (found.what, found.until) == ("left", 5)


def a_fault(op, at, **more):
    """The fault of craft of an operation put at minute `at` by hand, of those placed before it at their times."""
    placed = more.pop("placed")
    problem = Problem(0, DAYS, (), {}, craft=Craft(), hands=2, **more)
    ops = {one.id: one for one in problem.ops}
    times = [Placed(id, start, start, start + ops[id].minutes, start + ops[id].minutes) for id, start in placed.items()]
    t = timeline_of(problem, compile_problem(problem), Plan(tuple(sorted(times, key=lambda one: one.setup)), 0, 0))
    return kept_by_craft(t.at[op], t, at)


def test_dust_keeps_work_from_what_is_wet_until_it_is_dry():
    ops = (Op("oil", 20, wet=100), Op("sand", 10, dusty=True))

    assert a_fault("sand", 20, ops=ops, placed={"oil": 0, "sand": 120}) == Kept("dust", 120, ("oil",))
    assert a_fault("oil", 0, ops=ops, placed={"sand": 60, "oil": 50}) == Kept("wet", 120, ("sand",))


def test_fiddly_work_is_not_begun_so_that_it_ends_with_the_day():
    ops = (Op("glue", 30, fiddly=True),)

    assert a_fault("glue", 500, ops=ops, placed={"glue": 1440}) == Kept("hurry", 540)
    assert a_fault("glue", 400, ops=ops, placed={"glue": 1440}) is None

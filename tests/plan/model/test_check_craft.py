"""The checker counts what faults of craft cost by itself, and the search counts the same."""

import pytest
from benchbell.plan.model.check import faults
from benchbell.plan.model.check_craft import craft_of
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.craft_faults import craft_faults
from benchbell.plan.model.problem import Craft, Link, Op, Placed, Plan, Problem, Station, Window
from benchbell.plan.model.schedule import schedule_of
from msgspec.structs import replace

COSTS = Craft(torn=1, dust=10, late_act=100, fiddly=1000, visit=10_000)
DAYS = (Window(0, 240), Window(300, 540), Window(1440, 1680), Window(1740, 1980))
"""Two days, each with an hour for a meal."""


def counted(ops, times, links=(), hands=1, **more):
    """Kinds of fault in a plan with these (start, end) for the operations, and what they cost by the checker."""
    problem = Problem(0, DAYS, more.pop("stations", ()), {}, ops, links, hands=hands, craft=COSTS, **more)
    placed = [Placed(op.id, start, start, end, end + op.runs) for op, (start, end) in zip(ops, times, strict=True)]
    placed.sort(key=lambda p: p.setup)
    plan = Plan(tuple(placed), max(p.free for p in placed), 0, craft=0)
    plan = replace(plan, craft=craft_of(problem, plan), day=int(plan.finish > 1440))
    assert faults(problem, plan) == []
    assert faults(problem, replace(plan, craft=plan.craft + 1)) == [
        f"The plan's craft is given as {plan.craft + 1}, and is {plan.craft}."
    ]
    compiled = compile_problem(problem)
    schedule = schedule_of(compiled, plan)
    found = craft_faults(compiled, compiled.craft, schedule.order, schedule.start, schedule.end)
    assert sum(cost for _, cost, _ in found) == plan.craft
    return [kind for kind, _, _ in found]


def sand(minutes):
    return (Op("sand", minutes, breakable=True),)


@pytest.mark.parametrize(
    ("minutes", "start", "end", "short"),
    [
        (60, 510, 1470, 0),
        (44, 510, 1454, 1),
        (60, 526, 1486, 1),
        (20, 530, 1450, 2),
        (60, 230, 350, 0),
        (60, 480, 540, 0),
    ],
    ids=["both long", "last short", "first short", "both short", "a meal tears nothing", "whole"],
)
def test_a_piece_is_short_below_a_quarter_of_an_hour_and_only_closing_tears(minutes, start, end, short):
    assert counted(sand(minutes), [(start, end)]) == ["torn"] * short


@pytest.mark.parametrize(("start", "is_hurried"), [(495, False), (496, True), (210, False)])
def test_fiddly_work_is_hurried_in_the_last_quarter_of_an_hour_of_the_day(start, is_hurried):
    assert counted((Op("glue", 30, fiddly=True),), [(start, start + 30)]) == ["fiddly"] * is_hurried


@pytest.mark.parametrize(("start", "is_spoiled"), [(19, False), (20, True), (109, True), (110, False)])
def test_dust_spoils_what_is_wet_until_it_is_dry(start, is_spoiled):
    """Sanding, 10 minutes, beside a coat that ends at 30 and is wet for 80; the one before it is by other hands."""
    ops = (Op("coat", 30, wet=80), Op("sand", 11, dusty=True))

    assert counted(ops, [(0, 30), (start, start + 11)], hands=2) == ["dust"] * is_spoiled


def test_what_was_wet_before_the_plan_is_spoiled_too():
    assert counted((Op("sand", 10, dusty=True),), [(19, 29)], wet_until=20) == ["dust"]
    assert counted((Op("sand", 10, dusty=True),), [(20, 30)], wet_until=20) == []


@pytest.mark.parametrize(
    ("start", "in_hours", "is_late"), [(80, False, False), (81, False, True), (1440, True, False), (1471, True, True)]
)
def test_a_wait_is_too_long_by_the_clock_or_by_working_hours(start, in_hours, is_late):
    ops = (Op("glue", 20), Op("off", 5))
    begin = 490 if in_hours else 10
    link = Link("glue", "off", 10, wanted=60 if in_hours else 50, wanted_open=in_hours)

    assert counted(ops, [(begin, begin + 20), (start, start + 5)], (link,)) == ["late act"] * is_late


SAW = tuple(Op(f"{station}{n}", 10, station=station) for n, station in enumerate(("saw", "planer", "saw", "bench")))


@pytest.mark.parametrize(
    ("order", "hands", "here", "returns"),
    [
        ((0, 1, 2, 3), 1, "", 1),
        ((0, 2, 1, 3), 1, "", 0),
        ((1, 0, 3, 2), 1, "saw", 1),
        ((0, 3, 2, 1), 1, "", 0),
        ((0, 1, 2, 3), 2, "", 0),
    ],
    ids=["back and forth", "one stretch", "left and come back", "the bench is near", "one stays at each"],
)
def test_coming_back_to_a_station_counts(order, hands, here, returns):
    times = [(10 * order.index(n), 10 * order.index(n) + 10) for n in range(4)]
    stations = (Station("bench", near=True),)

    assert counted(SAW, times, hands=hands, here=here, stations=stations) == ["visit"] * returns


def test_without_craft_nothing_counts():
    problem = Problem(0, DAYS, (), {}, (Op("glue", 30, fiddly=True),))

    assert craft_of(problem, Plan((Placed("glue", 510, 510, 540, 540),), 540, 0)) == 0

"""Parallel generation weighs what a choice would spoil against the priorities."""

from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.hours import FAR
from benchbell.plan.model.problem import Craft, Link, Op, Problem, Station, Window
from benchbell.plan.search.parallel_generation import Priorities, generate_parallel
from msgspec.structs import replace

DAYS = (Window(0, 540), Window(1440, 1980))


def order(ops, values, craft, links=(), **more):
    """Operations as they are taken up, with these values and this weight of craft."""
    problem = Problem(0, DAYS, more.pop("stations", ()), {}, ops, links, craft=Craft(), **more)
    compiled = compile_problem(problem)
    schedule = generate_parallel(compiled, compiled.hours, Priorities(values, 0, 0, craft), [FAR] * len(ops))
    return [ops[i].id for i in schedule.order]


def assert_changes(ops, values, wanted, without, **more):
    """The order is as wanted with craft, and otherwise without."""
    assert order(ops, values, 1, **more) == wanted
    assert order(ops, values, 0, **more) == without


def test_work_stays_at_a_station():
    ops = tuple(Op(f"{at}{n}", 10, station=at) for n, at in enumerate(("saw", "planer", "saw", "planer")))

    assert_changes(ops, [4, 3, 2, 1], ["saw0", "saw2", "planer1", "planer3"], [op.id for op in ops])
    assert order(ops, [4, 3, 2, 1], 1, here="planer") == ["planer1", "planer3", "saw0", "saw2"]
    near = (Station("saw", near=True), Station("planer", near=True))
    assert order(ops, [4, 3, 2, 1], 1, stations=near) == [op.id for op in ops]


def test_dust_waits_until_the_coat_is_dry():
    ops = (Op("coat", 10, wet=30), Op("sand", 10, dusty=True), Op("plane", 40))

    assert_changes(ops, [3, 2, 1], ["coat", "plane", "sand"], ["coat", "sand", "plane"])


def test_a_glue_up_does_not_end_in_the_last_minutes():
    ops = (Op("saw", 490), Op("glue", 40, fiddly=True), Op("sweep", 40))

    assert_changes(ops, [3, 2, 1], ["saw", "sweep", "glue"], ["saw", "glue", "sweep"])


def test_nothing_long_is_begun_while_glue_is_about_to_go_hard():
    ops = (Op("glue", 10), Op("plane", 60), Op("scrape", 5), Op("mark", 20))
    links = (Link("glue", "scrape", 20, wanted=40),)

    assert_changes(
        ops, [4, 3, 1, 2], ["glue", "mark", "scrape", "plane"], ["glue", "plane", "mark", "scrape"], links=links
    )


def test_a_glue_up_whose_glue_would_go_hard_after_closing_comes_later():
    ops = (Op("saw", 480), Op("glue", 30), Op("scrape", 5), Op("mark", 20))
    links = (Link("glue", "scrape", 30, wanted=60),)

    assert order(ops, [4, 3, 1, 2], 1, links=links)[:3] == ["saw", "mark", "glue"]
    assert order(ops, [4, 3, 1, 2], 0, links=links)[:3] == ["saw", "glue", "mark"]


def test_work_that_outlasts_all_hours_is_not_placed():
    ops = (Op("saw", 530), Op("sand", 530), Op("plane", 60, breakable=True, fiddly=True))

    assert order(ops, [3, 2, 1], 1) == ["saw", "sand"]


def test_a_short_piece_is_not_begun_before_closing():
    ops = (Op("saw", 530), Op("sand", 60, breakable=True), Op("sweep", 8))

    assert_changes(ops, [3, 2, 1], ["saw", "sweep", "sand"], ["saw", "sand", "sweep"])


def test_without_craft_in_the_problem_its_weight_does_not_matter():
    problem = Problem(0, DAYS, (), {}, (Op("glue", 535, fiddly=True), Op("sand", 50, dusty=True)), wet_until=60)
    compiled = compile_problem(problem)
    found = [
        generate_parallel(compiled, compiled.hours, Priorities([2, 1], 0, 0, weight), [FAR] * 2) for weight in (0, 16)
    ]

    assert found[0] == found[1]
    assert compile_problem(replace(problem, craft=Craft())).craft is not None

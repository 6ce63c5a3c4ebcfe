"""Of the best plans, the one that is soonest done with durations as they may come."""

from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Problem, Window
from benchbell.plan.model.schedule import plan_of
from benchbell.plan.odds.choice import chosen, is_clearly_less
from benchbell.plan.odds.pace import UNTIMED
from benchbell.plan.planner import best_plans
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random
from benchbell.plan.search.serial_generation import generate_serial
from benchbell.plan.tasks.from_builds import problem_from_builds
from msgspec.structs import replace
from plan.shop_day import MONDAY, build_of, request_for
from small_recipes import FIT, PARTS, glue, work

GLUED = PARTS + FIT + glue(', clamps = { "heavy F" = 2 }') + work("trim", ["frame"], 'station = "table saw"')


def source_of(*builds):
    """Their problem."""
    request = request_for(*builds)
    return problem_from_builds(request.builds, request.hours, {"heavy F": 2}, MONDAY)


def found(source, before=None):
    """The plans to choose from."""
    return best_plans(source.problem, tries(200), Random(1), before)


def in_order(source, *names):
    """The plan that does the operations in this order."""
    compiled = compile_problem(source.problem)
    order = [next(n for n, id in enumerate(compiled.ids) if f"/{name}|" in id) for name in names]
    return plan_of(compiled, generate_serial(compiled, order), 0)


def test_of_two_plans_done_at_the_same_minute_the_one_that_bad_luck_costs_no_day_is_chosen():
    # What soaks overnight fits in after the sawing as planned, just before closing; with slow sawing, a day later.
    soak = work("soak", ["leg"], 'minutes = 250\nwait = "15 h"')
    source = source_of(build_of(PARTS + soak + work("saw", ["rail"], "minutes = 250") + work("last", ["leg"])))
    risky, safe = in_order(source, "saw", "soak", "last"), in_order(source, "soak", "saw", "last")

    assert risky.finish == safe.finish
    assert chosen(source.problem, source.tasks, [risky, safe], UNTIMED) is safe
    assert chosen(source.problem, source.tasks, [safe, risky], UNTIMED) is safe


def test_the_first_stays_where_another_is_no_better():
    source = source_of(build_of(GLUED, pieces=3))
    plans = found(source)

    assert chosen(source.problem, source.tasks, [plans[-1], plans[-1]], UNTIMED) is plans[-1]


def test_a_plan_that_is_late_as_planned_is_no_choice():
    source = source_of(build_of(GLUED, pieces=3))
    best = found(source)[0]
    worst = replace(best, placed=tuple(sorted(best.placed, key=lambda one: one.op)))
    hopeful = replace(best, late=1)

    assert chosen(source.problem, source.tasks, [worst, hopeful], UNTIMED) is worst


def test_what_is_clear_is_beyond_the_margin_and_beyond_chance():
    old = [(0, 0, 1000 + n % 2) for n in range(20)]

    assert is_clearly_less([(0, 0, 960)] * 20, old)
    assert not is_clearly_less([(0, 0, 980)] * 20, old)
    assert not is_clearly_less([(0, 0, 0 if n == 7 else 1000) for n in range(20)], old)
    assert not is_clearly_less([(0, 40, 0)] * 20, old)
    assert is_clearly_less([(0, 0, 5000)] * 20, [(0, 90, 1000)] * 20)


def test_the_plan_that_stands_comes_first_and_the_others_differ_in_worth():
    source = source_of(build_of(GLUED, pieces=3))
    stands = found(source)[-1]
    again, *others = found(source, stands)
    worth = [plan.objective for plan in others]

    assert again.objective <= stands.objective
    assert worth == sorted(set(worth))
    assert found(type(source)(Problem(0, (Window(0, 60),), (), {}, ()), {}, ()))[0].placed == ()

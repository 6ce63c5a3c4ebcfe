"""Serial generation of which only a part is done again gives what a whole one would."""

import pytest
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Link, Op, Problem, Window
from benchbell.plan.model.schedule import faults_in
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.initial import initial_schedule, latest_start_values
from benchbell.plan.search.random import Random
from benchbell.plan.search.reordering import changed, delayed, moved
from benchbell.plan.search.serial_generation import SerialGeneration, generate_serial
from benchbell.plan.search.serial_resumption import generate_resumed
from hypothesis import given, settings
from hypothesis import strategies as st
from plan.busier_shops import KINDS
from plan.problems import problems
from plan.shop_data import shop_problem


def other_order(compiled, random, order, schedule):
    """Another order or other delays, as the search makes them, or any; some are not allowed."""
    choice = random.below(10)
    if choice == 0:
        places = order[0].copy()
        n = random.below(len(places))
        places[n : n + 2] = places[n : n + 2][::-1]
        return places, order[1]
    if choice < 4:
        return order[0], delayed(compiled, random, order[1], schedule, random.below(len(order[0])))
    if choice < 6:
        at = random.below(len(order[0]))
        return moved(compiled, random, order[0], at), delayed(compiled, random, order[1], schedule, order[0][at])
    return changed(compiled, random, order, schedule, faults_in(compiled, schedule))


def same_after_each_change(problem, seed, steps):
    """Change the order again and again, and compare what is generated in part with the whole; how many were allowed."""
    compiled, random = compile_problem(problem), Random(seed)
    order = initial_schedule(compiled, latest_start_values(compiled)).order, {}
    at = generate_resumed(compiled, *order) if len(order[0]) == len(compiled.ids) else None
    allowed = 0
    for _ in range(steps if at else 0):
        other = other_order(compiled, random, order, at.schedule)
        part, whole = generate_resumed(compiled, *other, at), generate_serial(compiled, *other)
        assert (part and part.schedule) == whole
        if part:
            assert [one.changes for one in part.between] == [
                one.changes for one in generate_resumed(compiled, *other).between
            ]
            order, at, allowed = other, part, allowed + 1
    return allowed


@settings(max_examples=300)
@given(problems(most=12), st.integers(0, 1000))
def test_small_problems(problem, seed):
    rest, _ = feasible_part(problem)
    if rest.ops:
        same_after_each_change(rest, seed, 20)


@pytest.mark.parametrize("kind", KINDS)
def test_shops(kind):
    shops = [KINDS[kind](shop_problem(name)) for name in ("shop01", "shop08")]

    assert sum(same_after_each_change(shop, seed, 60) for shop in shops for seed in (1, 2)) > 120


def placed_again(monkeypatch, compiled, order, delays, like):
    """What is placed to generate this order from another one."""
    placed, place = [], SerialGeneration.place
    monkeypatch.setattr(SerialGeneration, "place", lambda self, i: placed.append(i) or place(self, i))
    found = generate_resumed(compiled, order, delays, like)
    assert found.schedule == generate_serial(compiled, order, delays)
    return placed[: len(placed) - len(order)], found


def test_only_what_is_between_changes_is_placed_again(monkeypatch):
    ops = tuple(Op(str(n), 10) for n in range(40))
    compiled = compile_problem(Problem(0, (Window(0, 1000),), (), {}, ops))
    order = list(range(40))
    like = generate_resumed(compiled, order, {})
    other = [*order[:17], 18, 17, *order[19:]]

    assert placed_again(monkeypatch, compiled, other, {}, like)[0] == [16, 18, 17, 19]
    assert generate_resumed(compiled, order.copy(), {}, like) is like


def test_it_goes_on_where_something_placed_otherwise_is_waited_for(monkeypatch):
    ops = tuple(Op(str(n), 10) for n in range(12))
    compiled = compile_problem(Problem(0, (Window(0, 1000),), (), {}, ops, links=(Link("1", "11", lag=200),)))
    order = list(range(12))
    like = generate_resumed(compiled, order, {})
    placed, found = placed_again(monkeypatch, compiled, [1, 0, *order[2:]], {}, like)

    assert placed == [1, 0, *order[2:]]
    assert found.schedule.start[11] == like.schedule.start[11] - 10


def test_a_delay_that_begins_or_ends_is_a_change(monkeypatch):
    ops = tuple(Op(str(n), 10) for n in range(12))
    compiled = compile_problem(Problem(0, (Window(0, 1000),), (), {}, ops))
    order = list(range(12))
    like = generate_resumed(compiled, order, {})
    delayed_one = generate_resumed(compiled, order, {5: 300}, like)

    assert delayed_one.schedule.start[5] == 300
    assert placed_again(monkeypatch, compiled, order, {}, delayed_one)[0] == order[4:]

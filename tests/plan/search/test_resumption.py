"""A generation of which only a part is done again gives what a whole one would."""

import pytest
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.hours import FAR
from benchbell.plan.model.problem import Craft, Op, Problem, Window
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.parallel_generation import Priorities, generate_with_checkpoints
from benchbell.plan.search.random import Random
from benchbell.plan.search.resumption import difference_between
from hypothesis import given, settings
from hypothesis import strategies as st
from plan.problems import problems
from plan.shop_data import shop_problem, with_craft


def same_after_each_change(problem, seed, steps):
    """Change a few values again and again, and compare what is generated in part with the whole; how many differ."""
    compiled, random = compile_problem(problem), Random(seed)
    count = len(compiled.ids)
    weights = [(0, 0, 4), (4, 30, 0), (4, 30, 16)][random.below(3)]
    priorities = Priorities([random.around(300) for _ in range(count)], *weights)
    latest = [compiled.start + random.below(3000) for _ in range(count)]
    at = generate_with_checkpoints(compiled, compiled.hours, priorities, latest)
    parts = 0
    for _ in range(steps if at and not at.schedule.unplaced else 0):
        values = priorities.values.copy()
        for _ in range(1 + random.below(2)):
            values[random.below(count)] += random.around(200)
        other = Priorities(values, *weights)
        difference = difference_between(compiled, priorities, other, at)
        whole = generate_with_checkpoints(compiled, compiled.hours, other, latest)
        part = generate_with_checkpoints(compiled, compiled.hours, other, latest, difference=difference)
        assert part and whole
        if difference is None:
            assert at.schedule == whole.schedule
        parts += difference is None or difference.first > 0
        if whole.schedule.unplaced:
            assert part.schedule.order == whole.schedule.order
            return parts
        assert (part.schedule, part.checkpoints) == (whole.schedule, whole.checkpoints)
        assert all(a >= b for a, b in zip(part.costs, whole.costs, strict=True))
        priorities, at = other, part
    return parts


@settings(max_examples=300)
@given(problems(most=12), st.integers(0, 1000))
def test_small_problems(problem, seed):
    rest, _ = feasible_part(problem)
    if rest.ops:
        same_after_each_change(rest, seed, 10)


@pytest.mark.parametrize("problem_of", [lambda problem: problem, with_craft], ids=["as it is", "with craft"])
def test_shops(problem_of):
    shops = [problem_of(shop_problem(name)) for name in ("shop01", "shop08")]
    parts = sum(same_after_each_change(shop, seed, 60) for shop in shops for seed in (1, 2, 3))

    assert parts > 180  # else most were done again from the beginning


def test_all_is_done_again_where_faults_of_craft_weigh_otherwise():
    compiled = compile_problem(with_craft(shop_problem("shop01")))
    count = len(compiled.ids)
    old, new = Priorities([0] * count, 0, 0, craft=4), Priorities([0] * count, 0, 0, craft=16)
    at = generate_with_checkpoints(compiled, compiled.hours, old, [FAR] * count)

    assert difference_between(compiled, old, new, at).first == 0
    assert difference_between(compiled, old, old, at) is None


def test_it_begins_anew_where_faults_of_craft_begin_to_count():
    ops = (Op("sand", 30, dusty=True, station="bench"), Op("plane", 60, station="planer"), Op("saw", 30, station="saw"))
    compiled = compile_problem(Problem(0, (Window(0, 480),), (), {}, ops, craft=Craft(), here="saw", wet_until=45))
    left_out, counted = Priorities([3, 2, 1], 0, 0, craft=0), Priorities([3, 2, 1], 0, 0, craft=4)
    at = generate_with_checkpoints(compiled, compiled.hours, left_out, [FAR] * 3)
    difference = difference_between(compiled, left_out, counted, at)

    whole = generate_with_checkpoints(compiled, compiled.hours, counted, [FAR] * 3)
    part = generate_with_checkpoints(compiled, compiled.hours, counted, [FAR] * 3, difference=difference)

    assert part == whole
    assert part.schedule.order != at.schedule.order


def test_it_ends_as_soon_as_it_is_too_late():
    compiled = compile_problem(shop_problem("shop01"))
    count = len(compiled.ids)
    priorities, latest = Priorities([0] * count, 0, 0), [compiled.start] * count
    at = generate_with_checkpoints(compiled, compiled.hours, priorities, latest)
    other = Priorities([0] * (count - 1) + [1], 0, 0)
    difference = difference_between(compiled, priorities, other, at)

    whole = generate_with_checkpoints(compiled, compiled.hours, other, latest, at.schedule.lateness - 1)
    part = generate_with_checkpoints(compiled, compiled.hours, other, latest, at.schedule.lateness - 1, difference)

    assert (whole is None) == (part is None)

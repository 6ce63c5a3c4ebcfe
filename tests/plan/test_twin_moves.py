"""The page's twin of the moves of the search changes priorities and orders as the Python half does."""

import pytest
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.schedule import faults_in
from benchbell.plan.planner import plan_for
from benchbell.plan.search.bound import latest_starts
from benchbell.plan.search.budget import tries
from benchbell.plan.search.craft_moves import TO_MEND
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.moves import TO_FINISH, TO_SAVE_SETUPS, Incumbent
from benchbell.plan.search.parallel_generation import Priorities, generate_with_checkpoints
from benchbell.plan.search.random import Random
from benchbell.plan.search.reordering import changed
from benchbell.plan.search.reversed import reversed_problem
from benchbell.plan.search.right_shift import right_shifted
from benchbell.plan.search.serial_resumption import generate_resumed
from hypothesis import given, settings
from hypothesis import strategies as st
from plan.both_sides import same, schedule_told
from plan.busier_shops import KINDS, SOME
from plan.problems import problems
from plan.shop_data import shop_problem

often = settings(max_examples=60)
seeds = st.integers(0, 2**31)


def moves_here(problem, seed, weighed, due):
    """What `plan_moves` is asked for."""
    compiled = compile_problem(problem)
    priorities, latest = Priorities(*weighed), latest_starts(compiled, due)
    generated = generate_with_checkpoints(compiled, compiled.hours, priorities, latest)
    if generated is None or generated.schedule.unplaced:
        return None
    told = []
    for percent, move in (*TO_FINISH, *TO_SAVE_SETUPS, *TO_MEND):
        random, reverse = Random(seed), reversed_problem(compiled)
        found = move(Incumbent(compiled, reverse, random, due, latest, priorities, generated.schedule, generated))
        told.append([percent, [found.values, found.setup_weight, found.most_idle, found.craft], random.below(1000)])
    return told


def same_moves(problem, seed):
    """Moves from the same priorities, which may be far from good."""
    random = Random(seed)
    values = [random.around(600) for _ in problem.ops]
    due = [problem.start + random.below(6000)] * len(problem.ops)
    given = problem, seed, [values, random.below(5), random.below(40), random.below(17)], due
    return same("plan_moves", moves_here(*given), *given)


@often
@given(problems(most=12), seeds)
def test_moves_are_alike(problem, seed):
    rest, _ = feasible_part(problem)
    if rest.ops:
        same_moves(rest, seed)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", SOME)
def test_moves_in_generated_shops_are_alike(name, kind):
    problem = KINDS[kind](shop_problem(name))

    assert any(same_moves(problem, seed) for seed in range(6))


def reordered_here(problem, seed, order, count):
    """What `plan_reordered` is asked for."""
    compiled, random = compile_problem(problem), Random(seed)
    at, told = (order, {}), []
    generated = generate_resumed(compiled, *at)
    for _ in range(count if generated else 0):
        schedule = right_shifted(compiled, generated.schedule)
        other = changed(compiled, random, at, schedule, faults_in(compiled, schedule))
        found = generate_resumed(compiled, *other, generated)
        shifted = found and right_shifted(compiled, found.schedule)
        told.append([other[0], sorted(other[1].items()), schedule_told(shifted)])
        if found:
            at, generated = other, found
    return told


def same_orders(problem, seed, count):
    """The order of the first plan, changed again and again."""
    number = {op.id: n for n, op in enumerate(problem.ops)}
    order = [number[one.op] for one in plan_for(problem, tries(1), Random(1)).placed]
    given = problem, seed, order, count
    return same("plan_reordered", reordered_here(*given), *given)


@often
@given(problems(most=12), seeds)
def test_orders_are_changed_alike(problem, seed):
    rest, _ = feasible_part(problem)
    if rest.ops:
        same_orders(rest, seed, 12)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", SOME)
def test_orders_of_generated_shops_are_changed_alike(name, kind):
    told = same_orders(KINDS[kind](shop_problem(name)), 5, 60)

    assert sum(found is not None for *_, found in told) > 5

"""Runs of one setup, and the moves that join two of them or fill the time before closing."""

from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.problem import Link, Op, Problem, Station, Window
from benchbell.plan.search.bound import latest_starts
from benchbell.plan.search.moves import Incumbent, fill, join
from benchbell.plan.search.parallel_generation import Priorities, generate_parallel
from benchbell.plan.search.random import Random
from benchbell.plan.search.reversed import reversed_problem
from benchbell.plan.search.setup_runs import joined_in_order, runs_in, two_alike

SAW = Station("saw", "", {a: {b: 5 for b in ("rip", "mitre") if b != a} for a in ("", "rip", "mitre")})


def sawn(*setups):
    return tuple(Op(f"{n}", 10, 0, "saw", setup) for n, setup in enumerate(setups))


def incumbent(problem, seed):
    """The operations valued in their order."""
    compiled = compile_problem(problem)
    priorities = Priorities([-10 * n for n in range(len(problem.ops))], 0, 0)
    due = [5000] * len(problem.ops)
    schedule = generate_parallel(compiled, compiled.hours, priorities, due)
    reverse = reversed_problem(compiled)
    return Incumbent(compiled, reverse, Random(seed), due, latest_starts(compiled, due), priorities, schedule)


def after(move, problem, seed):
    """The schedule after a move."""
    at = incumbent(problem, seed)
    return generate_parallel(at.compiled, at.compiled.hours, move(at), at.due)


def test_runs_of_each_station():
    ops = (*sawn("rip", "rip", "mitre", "rip"), Op("bench", 10), Op("saw, as it stands", 10, 0, "saw"))
    compiled = compile_problem(Problem(0, (Window(0, 500),), (SAW,), {}, ops))

    assert runs_in(compiled, [0, 4, 1, 2, 5, 3]) == [[0, 1], [2], [3]]
    assert two_alike(compiled, [0, 1, 2, 3], Random(1)) == ([0, 1], [3])
    assert two_alike(compiled, [0, 1, 3, 2], Random(1)) is None


def test_joined_runs_are_one_setup_whichever_of_them_is_moved():
    problem = Problem(0, (Window(0, 500),), (SAW,), {}, sawn("rip", "mitre", "rip"))
    found = [after(join, problem, seed) for seed in range(8)]

    assert incumbent(problem, 1).schedule.changes == 3
    assert {schedule.changes for schedule in found} == {2}
    assert {schedule.order[0] == 1 for schedule in found} == {True, False}


def test_what_the_moved_run_needs_comes_with_it():
    ops = (*sawn("rip", "mitre"), Op("glue", 10), Op("3", 10, 0, "saw", "rip"))
    problem = Problem(0, (Window(0, 500),), (SAW,), {}, ops, (Link("glue", "3"),))

    orders = [after(join, problem, seed).order for seed in range(8)]
    assert incumbent(problem, 1).schedule.order == [0, 1, 2, 3]
    assert any(order[-1] == 1 and order.index(2) < order.index(3) for order in orders)


def test_runs_are_joined_in_an_order_that_precedence_allows():
    ops = (*sawn("rip", "mitre"), Op("glue", 10), Op("3", 10, 0, "saw", "rip"), Op("last", 10))
    links = (Link("glue", "3"), Link("0", "last"))
    compiled = compile_problem(Problem(0, (Window(0, 500),), (SAW,), {}, ops, links))
    orders = [joined_in_order(compiled, [0, 4, 1, 2, 3], Random(seed)) for seed in range(8)]

    assert {tuple(order) for order in orders if order} == {(0, 2, 3, 4, 1), (1, 2, 0, 4, 3)}
    assert joined_in_order(compiled, [0, 3, 1, 2, 4], Random(1)) is None


def test_a_longer_operation_fills_the_time_before_closing():
    ops = (Op("a", 60), Op("b", 30), Op("c", 40), Op("d", 60))
    problem = Problem(0, (Window(0, 100), Window(200, 400)), (), {}, ops)
    found = [after(fill, problem, seed) for seed in range(20)]

    assert incumbent(problem, 1).schedule.end == [60, 90, 240, 300]
    assert [0, 2, 1, 3] in [schedule.order for schedule in found]  # 60 and 40 minutes, and the window is full

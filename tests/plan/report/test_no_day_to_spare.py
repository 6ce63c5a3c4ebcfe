"""What is said to bear no day's delay bears none, whatever the order, the stations, the clamps and the hands."""

from math import ceil

from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.hours import end_of
from benchbell.plan.model.problem import Link, Op, Problem, Window
from benchbell.plan.report.no_day_to_spare import no_day_to_spare
from benchbell.plan.search.bound import earliest_starts
from benchbell.plan.search.infeasible import feasible_part
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.problems import problems
from plan.report.timelines import timeline

DAYS = tuple(Window(day * 1440, day * 1440 + 540) for day in range(9))


def done_by_links(problem, piece):
    """When a piece, or with None everything, is done if nobody waits for hands, stations or clamps."""
    compiled = compile_problem(replace(problem, stations=(), holds=(), clamps={}))
    starts = earliest_starts(compiled)
    return max(
        compiled.end(n, starts[n]) + op.runs for n, op in enumerate(problem.ops) if piece is None or op.piece == piece
    )


def tomorrow_at_soonest(problem, ops, tomorrow):
    """The problem in which these operations are ready on the next day."""
    return replace(
        problem, ops=tuple(replace(op, ready=max(op.ready, tomorrow)) if op.id in ops else op for op in problem.ops)
    )


@settings(max_examples=200, deadline=None)
@given(problems(most=14, limits=False, cycles=False), st.integers(1, 2))
def test_a_day_later_the_finish_or_the_promised_build_is_later(problem, hands):
    rest, _ = feasible_part(replace(problem, hands=hands, windows=DAYS))
    t = timeline(rest)

    for id, no_day in no_day_to_spare(t).items():
        tomorrow, piece = t.next_day(t.at[id].start), t.ops[id].piece
        if no_day.due is None:
            assert done_by_links(tomorrow_at_soonest(rest, {id}, tomorrow), None) > t.plan.finish
            continue
        left = {one.op for one in t.plan.placed[t.rank[id] :] if t.ops[one.op].piece == piece}
        minutes = sum(t.ops[op].minutes for op in left)
        worked = end_of(t.compiled.hours, tomorrow, ceil(minutes / hands))
        by = max(no_day.due, max(one.free for one in t.plan.placed if t.ops[one.op].piece == piece))
        assert max(worked, done_by_links(tomorrow_at_soonest(rest, left, tomorrow), piece)) > by


def small(*ops, links=(), hands=1):
    """What bears no delay in a small problem."""
    return no_day_to_spare(timeline(Problem(0, DAYS, (), {}, ops, links, hands=hands), 200))


def test_a_promise_that_leaves_no_day_is_named_and_one_that_leaves_a_week_is_not():
    other = Op("other", 500, piece="other")

    assert {no_day.due for no_day in small(Op("a", 400, piece="a", due=1440), other).values()} == {1440}
    assert not any(no_day.due for no_day in small(Op("a", 400, piece="a", due=7 * 1440), other).values())


def test_work_that_fills_all_days_to_the_promise_leaves_no_day():
    ops = [Op(f"a{n}", 500, piece="a", due=2 * 1440 + 540) for n in range(3)]
    said = small(*ops, Op("other", 400, piece="other"))

    assert said["a0"].due == 2 * 1440 + 540
    assert "other" not in said


def test_a_chain_of_waits_is_said_to_decide_the_finish_only_where_something_else_could_be_done():
    chain = (Op("coat", 30), Op("next", 30))
    links = (Link("coat", "next", 2000),)

    assert set(small(*chain, Op("saw", 500), Op("plane", 500), links=links)) == {"coat"}
    assert small(*chain, links=links) == {}

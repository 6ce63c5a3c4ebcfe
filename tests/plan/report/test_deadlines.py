"""A deadline that is said is the one after which the overrun grows."""

from benchbell.plan.report.deadlines import deadline
from benchbell.plan.search.infeasible import feasible_part
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.problems import problems
from plan.report.timelines import timeline


def overrun(problem, starts, free):
    """Minutes past maximal lags and latest starts."""
    lags = sum(max(0, starts[x.after] - free[x.before] - x.most) for x in problem.links if x.most is not None)
    return lags + sum(max(0, starts[op.id] - op.by) for op in problem.ops if op.by is not None)


@settings(max_examples=200, deadline=None)
@given(problems(cycles=False), st.integers(1, 2))
def test_a_minute_after_it_the_overrun_grows_and_at_it_by_this_alone_it_does_not(problem, hands):
    rest, _ = feasible_part(replace(problem, hands=hands))
    t = timeline(rest)
    starts, free = {one.op: one.start for one in t.plan.placed}, {one.op: one.free for one in t.plan.placed}

    for one in t.plan.placed:
        found = deadline(one, t)
        if found is None:
            continue
        soonest, at, later = (
            overrun(rest, {**starts, one.op: start}, free) for start in (rest.start - 999, found.by, found.by + 1)
        )
        assert later > at == soonest
        assert found.by < t.next_day(one.start)
        assert not found.before or any((x.before, x.after) == (found.before, one.op) for x in rest.links)

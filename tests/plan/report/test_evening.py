"""Before you go home: whoever follows the advice is done no later, and the glue or coat is done in the morning."""

from benchbell.plan.model.check import faults
from benchbell.plan.model.problem import Link, Op, Problem, Window
from benchbell.plan.model.schedule import plan_of
from benchbell.plan.report.evening import tonight
from benchbell.plan.report.no_day_to_spare import finishes
from benchbell.plan.report.timeline import timeline_of
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.serial_generation import generate_serial
from benchbell.plan.search.slack import slack
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.problems import problems
from plan.report.timelines import timeline

DAYS = tuple(Window(day * 1440, day * 1440 + 540) for day in range(9))


def evening(problem, waits=None):
    """The timeline of a plan, and what to begin before going home. waits: by operation; left out, its longest lag."""
    t = timeline(problem, 20)
    longest = {op.id: max((link.lag for link in t.going[op.id]), default=0) for op in problem.ops}
    return t, tonight(t, longest if waits is None else waits, slack(problem, t.compiled, t.plan))


def followed(t, advice):
    """The plan of a maker who does what the plan has today, and last what the advice says, by the moments it says."""
    last = [t.number[one.op] for one in advice]
    closes = max(one.by + t.at[one.op].end - t.at[one.op].setup for one in advice)
    rest = [t.number[one.op] for one in t.plan.placed if t.number[one.op] not in last]
    today = [i for i in rest if t.at[t.compiled.ids[i]].end <= closes]
    starts = {t.number[one.op]: one.by + t.at[one.op].start - t.at[one.op].setup for one in advice}
    order = [*today, *last, *(i for i in rest if i not in today)]
    return plan_of(t.compiled, generate_serial(t.compiled, order, starts), t.plan.bound)


@settings(max_examples=300, deadline=None)
@given(problems(most=12, cycles=False), st.integers(0, 200))
def test_who_follows_it_is_done_no_later_and_before_closing(problem, late):
    days = (Window(0, 540 - late), *DAYS[1:])
    longer = tuple(link if link.most else replace(link, lag=8 * link.lag) for link in problem.links)
    rest, _ = feasible_part(replace(problem, windows=days, start=0, links=longer))
    t, advice = evening(rest)
    if not advice:
        return
    plan = followed(t, advice)

    assert faults(rest, plan) == []
    assert (plan.overrun, plan.late) <= (t.plan.overrun, t.plan.late)
    was, now = finishes(t), finishes(timeline_of(rest, t.compiled, plan))
    assert all(now[piece] <= at for piece, at in was.items())
    at = {one.op: one for one in plan.placed}
    for one in advice:
        assert at[one.op].end <= 540 - late
        assert one.until <= 1440


GLUE = (Op("glue", 20), Op("off", 5))


def test_glue_that_may_wait_until_the_last_minute_says_by_when():
    problem = Problem(0, DAYS, (), {}, (*GLUE, Op("saw", 300), Op("plane", 500)), (Link("glue", "off", 180),))
    _, (one,) = evening(problem, {"glue": 180})

    assert (one.op, one.by, one.until) == ("glue", 520, 720)


def test_glue_on_which_the_finish_depends_is_no_evening_job():
    """Advice that once moved a finish from Monday to Wednesday of the week after."""
    problem = Problem(0, DAYS, (), {}, (*GLUE, Op("fit", 400)), (Link("glue", "off", 180), Link("off", "fit")))

    assert evening(problem, {"glue": 180})[1] == []


def test_a_wait_that_is_not_over_in_the_morning_costs_a_day_at_any_hour_and_is_not_told():
    problem = Problem(0, DAYS, (), {}, (*GLUE, Op("saw", 500), Op("plane", 500)), (Link("glue", "off", 1440),))

    assert evening(problem, {"glue": 1440})[1] == []


def test_of_several_each_leaves_time_for_the_next():
    ops = (*GLUE, Op("glue 2", 30), Op("off 2", 5), Op("saw", 300), Op("plane", 480))
    links = (Link("glue", "off", 180), Link("glue 2", "off 2", 180))
    _, (first, last) = evening(Problem(0, DAYS, (), {}, ops, links), {"glue": 180, "glue 2": 180})

    assert {first.op, last.op} == {"glue", "glue 2"}
    assert 540 - last.by == (20 if last.op == "glue" else 30)
    assert first.by == 490


def test_the_squeeze_out_of_a_late_glue_up_is_cleaned_off_before_closing_too():
    ops = (*GLUE, Op("clean", 4), Op("saw", 300), Op("plane", 480))
    links = (Link("glue", "clean", 20, wanted=30), Link("clean", "off"), Link("glue", "off", 600))
    _, (one,) = evening(Problem(0, DAYS, (), {}, ops, links), {"glue": 600})

    assert (one.op, one.by, one.until) == ("glue", 540 - 4 - 20 - 20, 540 - 4 - 20 + 600)


def test_what_dries_before_closing_or_soon_after_is_no_evening_job():
    short = Problem(0, DAYS, (), {}, (*GLUE, Op("saw", 300), Op("plane", 500)), (Link("glue", "off", 50),))

    assert evening(short, {"glue": 50})[1] == []
    ops = (Op("glue", 70), Op("off", 5), Op("glue 2", 70), Op("off 2", 5), Op("saw", 300), Op("plane", 420))
    links = (Link("glue", "off", 180), Link("glue 2", "off 2", 180))
    advice = evening(Problem(0, DAYS, (), {}, ops, links), {"glue": 180, "glue 2": 180})[1]
    assert all(one.until - 540 >= 120 for one in advice)
    assert len(advice) == 1

"""A plan for reading."""

from datetime import datetime

from benchbell.commands.plan_lines import Names, plan_lines, step_lines
from benchbell.plan.report.messages import Evening, PlannedTask, PresentedPlan
from benchbell.plan.tasks.task import Unplanned
from msgspec.structs import replace
from plan.open_builds import build_of
from small_recipes import PARTS, work


def moment(day, hour, minute=0):
    """In ms, in December 2026; the 1st is a Tuesday."""
    return int(datetime(2026, 12, day, hour, minute).astimezone().timestamp() * 1000)


STEP = PlannedTask(
    build="stool",
    operation="A/rip",
    act="work",
    piece="A",
    title="Rip",
    station="table saw",
    setup="",
    changes=False,
    setup_at=moment(1, 14),
    start=moment(1, 14),
    end=moment(1, 15),
    free=moment(1, 15),
    clamps={},
    slack_ms=0,
    reason="",
)
NOTHING = PresentedPlan(0, 0, (), (), (), (), (), finish=0, changes=1, bound=0)
SETUP = '\n[[setup]]\nid = "fence"\ntitle = "Fence at 60 mm"\nstation = "table saw"\nset = { fence = "60 mm" }\n'
RIP = work("rip", ["leg"], 'title = "Rip"\nsetup = "fence"\nminutes = 10')
BUILDS = [build_of(PARTS + SETUP + RIP, id="stool")]


def test_a_step_has_its_titles_and_what_to_set_and_why_on_a_line_below():
    step = replace(STEP, changes=True, setup="fence", reason="Not a day later, or the build is done later.")

    assert list(step_lines(step, Names(BUILDS), several=True)) == [
        "  14:00 to 15:00  Rip (Stool, piece A, table saw)",
        "               Set “Fence at 60 mm” first. Not a day later, or the build is done later.",
    ]


def test_a_step_that_simply_comes_next_has_one_line():
    assert list(step_lines(STEP, Names(BUILDS), several=False)) == ["  14:00 to 15:00  Rip (piece A, table saw)"]


def test_for_reading_waits_that_become_too_long_stand_at_the_top():
    assert len(list(plan_lines(NOTHING, BUILDS))) == 1
    assert list(plan_lines(replace(NOTHING, overrun_ms=90 * 60_000), BUILDS))[1] == (
        "Some waits are longer than the recipe allows: 1 h 30 min too long in total."
    )
    late = replace(NOTHING, overrun_ms=90 * 60_000, too_late=("Oil, coat 1", "Glue"))
    assert list(plan_lines(late, BUILDS))[1].endswith(" Too long after: Oil, coat 1, Glue.")


def test_days_of_another_year_carry_it():
    begins = replace(NOTHING, start=moment(1, 8))
    new_year = int(datetime(2027, 1, 4, 8).astimezone().timestamp() * 1000)
    steps = (STEP, replace(STEP, setup_at=new_year, start=new_year, end=new_year))
    days = [line for line in plan_lines(replace(begins, steps=steps), BUILDS) if line.startswith("\n")]

    assert days == ["\nTuesday 1 December", "\nMonday 4 January 2027"]


def test_what_is_not_planned_and_what_comes_before_going_home_are_said_by_their_titles():
    left_out = (Unplanned("stool", "A/rip", "It does not fit."), Unplanned("stool", "", "It cannot be worked out."))
    glue = Evening("stool", "A/glue", "Glue, A", moment(1, 16), moment(2, 8), "Sets overnight.")
    lines = list(plan_lines(replace(NOTHING, unplanned=left_out, evening=(glue,), start=moment(1, 8)), BUILDS))

    assert "\nNot planned: Stool, Rip, A. It does not fit." in lines
    assert "\nNot planned: Stool. It cannot be worked out." in lines
    assert lines[-1] == "  Glue, A: begin by 16:00. Sets overnight."

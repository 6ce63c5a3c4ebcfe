"""A plan for reading."""

from datetime import datetime

from benchbell.commands.plan_lines import plan_lines, step_lines
from benchbell.commands.plan_names import Names
from benchbell.commands.plan_shifts import shifts_of
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


def test_a_step_says_whose_hands():
    (line,) = step_lines(replace(STEP, hand="2"), Names(BUILDS), several=False)

    assert line == "  14:00 to 15:00  2: Rip (piece A, table saw)"


def test_work_that_closing_tears_has_its_minutes_by_day_and_its_breaks():
    hours = [(moment(day, a), moment(day, b)) for day in (1, 2, 3) for a, b in ((8, 12), (13, 17))]
    over_night = replace(STEP, setup_at=moment(1, 16, 21), end=moment(2, 8, 15), reason="Because.")
    over_lunch = replace(STEP, setup_at=moment(1, 11, 30), end=moment(1, 13, 20))
    both = replace(STEP, setup_at=moment(1, 16), end=moment(2, 13, 20))

    assert [
        list(step_lines(one, Names(BUILDS), several=False, shifts=shifts_of(hours))) for one in (STEP, over_night)
    ] == [
        ["  14:00 to 15:00  Rip (piece A, table saw)"],
        [
            "  16:21 to Wed 08:15  Rip (piece A, table saw)",
            "               39 min on Tue, 15 min on Wed. Because.",
        ],
    ]
    assert list(step_lines(over_lunch, Names(BUILDS), several=False, shifts=shifts_of(hours)))[1].strip() == (
        "With a break from 12:00 to 13:00."
    )
    assert list(step_lines(both, Names(BUILDS), several=False, shifts=shifts_of(hours)))[1].strip() == (
        "1 h on Tue, 4 h 20 min on Wed, with a break from 12:00 to 13:00."
    )


def test_a_night_shift_is_under_one_heading():
    hours = ((moment(9, 20), moment(9, 23)), (moment(9, 23, 30), moment(10, 4)), (moment(10, 20), moment(11, 4)))
    starts = (moment(9, 20), moment(10, 1), moment(10, 20))
    steps = tuple(replace(STEP, setup_at=at, start=at, end=at + 600_000) for at in starts)
    lines = lines_of(replace(NOTHING, start=moment(9, 8), hours=hours, steps=steps))

    assert [line.split("  Rip")[0] for line in lines if not line.startswith(("1 setup", "Hours"))] == [
        "\nNight of Wed 9 to Thu 10 December",
        "  20:00 to 20:10",
        "  01:00 to 01:10",
        "\nNight of Thu 10 to Fri 11 December",
        "  20:00 to 20:10",
    ]


def test_a_day_and_the_night_after_it_are_two_shifts():
    hours = [(moment(9, 8), moment(9, 12)), (moment(9, 13), moment(9, 17)), (moment(9, 22), moment(10, 2))]

    assert [len(shift.spans) for shift in shifts_of(hours)] == [2, 1]


def lines_of(plan, builds=BUILDS):
    """A printed plan."""
    return list(plan_lines(plan, Names(builds), "Hours: as ever."))


def test_for_reading_waits_that_become_too_long_stand_at_the_top():
    assert lines_of(NOTHING) == ["1 setup in all.", "Hours: as ever."]
    assert lines_of(replace(NOTHING, overrun_ms=90 * 60_000))[1] == (
        "Some waits are longer than the recipe allows: 1 h 30 min too long in total."
    )
    late = replace(NOTHING, overrun_ms=90 * 60_000, too_late=("Oil, coat 1", "Glue"))
    assert lines_of(late)[1].endswith(" Too long after: Oil, coat 1, Glue.")


def test_how_soon_any_plan_could_end_is_said_where_that_is_sooner_than_all_else():
    begins = replace(NOTHING, start=moment(1, 8), finish=moment(20, 10))

    assert lines_of(replace(begins, bound=moment(18, 10)))[0] == (
        "1 setup in all. By the clock alone no order of the work ends before Fri 18 Dec."
    )
    assert lines_of(replace(begins, bound=moment(20, 9)))[0] == "1 setup in all."


def test_days_of_another_year_carry_it():
    begins = replace(NOTHING, start=moment(1, 8))
    new_year = int(datetime(2027, 1, 4, 8).astimezone().timestamp() * 1000)
    steps = (STEP, replace(STEP, setup_at=new_year, start=new_year, end=new_year))
    days = [line for line in lines_of(replace(begins, steps=steps)) if line.startswith("\n")]

    assert days == ["\nTuesday 1 December", "\nMonday 4 January 2027"]


def test_a_build_with_something_unplanned_is_not_done():
    left_out = (Unplanned("stool", "A/rip", "It does not fit. Give more hours."),)
    lines = lines_of(replace(NOTHING, unplanned=left_out, steps=(STEP,), start=moment(1, 8), finish=moment(1, 15)))

    assert lines[:2] == ["Stool: not done. Rip: it does not fit.", "What can be planned ends 15:00, with 1 setup."]
    assert lines_of(replace(NOTHING, unplanned=left_out))[1] == "Nothing can be planned."


def test_each_cause_is_told_once_with_all_that_waits_for_it():
    two = [build_of(PARTS + SETUP + RIP + work("plane", ["leg"], 'title = "Plane"'), id="stool", pieces=2)]
    first = [Unplanned("stool", f"{piece}/rip", "It does not fit.") for piece in "AB"]
    after = [Unplanned("stool", f"{piece}/plane", "It comes after.", f"{piece}/rip") for piece in "AB"]
    lines = lines_of(replace(NOTHING, unplanned=(*first, *after)), two)

    assert lines[-1] == ("\nNot planned: Stool, Rip, A, B. It does not fit. So these are not planned: Plane, A, B.")
    assert sum("Not planned" in line for line in lines) == 1


def test_a_build_that_cannot_be_worked_out_and_what_comes_before_going_home():
    left_out = (Unplanned("stool", "", "It cannot be worked out: look into the log. All others are planned."),)
    glue = Evening("stool", "A/glue", "Glue, A", moment(1, 16), moment(2, 8), "Sets overnight.")
    lines = lines_of(replace(NOTHING, unplanned=left_out, evening=(glue,), start=moment(1, 8)))

    assert lines[0] == "Stool: not done. It cannot be worked out: look into the log."
    assert "\nNot planned: Stool. It cannot be worked out: look into the log. All others are planned." in lines
    assert lines[-1] == "  Glue, A: begin by 16:00. Sets overnight."

"""Plans are made with the minutes that the shop really takes, once it is known."""

import pytest
from benchbell.plan.odds.pace import UNTIMED, expected_log, learned
from benchbell.plan.odds.paced import ENOUGH, at_pace
from benchbell.plan.odds.timings import Timing, kind_of
from benchbell.plan.tasks.from_builds import problem_from_builds
from plan.shop_day import MONDAY, build_of, presented, request_for
from small_recipes import FIT, PARTS, glue, work

SANDED = PARTS + work("sand", ["leg"], 'station = "sanding"\nminutes = 60')
LONG = PARTS + work("sand", ["leg"], 'station = "sanding"\nminutes = 500')


def slow(count, kind="sanding", ratio=1.5):
    """A shop that was timed so often, with such a ratio."""
    return learned([Timing(f"past {n}", kind, "", 40, 40 * ratio) for n in range(count)])


def minutes(text, pace):
    """The first operation's minutes in the problem at this pace."""
    request = request_for(build_of(text))
    source = problem_from_builds(request.builds, request.hours, {}, MONDAY)
    return at_pace(source.problem, source.tasks, pace).ops[0].minutes


def test_the_recipes_minutes_stand_until_enough_is_timed():
    assert minutes(SANDED, UNTIMED) == minutes(SANDED, slow(ENOUGH - 1)) == 60
    assert minutes(SANDED, slow(ENOUGH)) > 60


def test_the_more_is_timed_the_nearer_the_plan_comes_to_it():
    found = [minutes(SANDED, slow(count)) for count in (5, 20, 100)]

    assert found == sorted(found)
    assert found[-1] == pytest.approx(90, abs=4)


def test_what_fits_into_a_day_still_does():
    plan = presented(build_of(LONG), pace=slow(100))

    assert plan.unplanned == ()
    assert plan.steps[0].end - plan.steps[0].setup_at == 9 * 3_600_000


def test_a_kind_that_nobody_timed_goes_at_the_shops_level():
    pace = slow(100)

    assert 0 < expected_log(pace, "b", "lathe") < expected_log(pace, "b", "sanding")


def test_gluing_a_coat_and_a_station_are_kinds_of_their_own():
    sheet = build_of(PARTS + FIT + glue("")).sheet
    kinds = {op.name: kind_of(op) for op in sheet.operations}

    assert kinds == {"fit": "dry-fit", "glue": "glue-up"}
    assert kind_of(sheet.operations[-1], "clamps-off") == "clamps-off"

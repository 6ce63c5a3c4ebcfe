"""After hours: what a clock drives is planned from now on while somebody is there, and all else when the shop opens."""

import pytest
from benchbell.bench.happenings import Began, Clamped, Finished, GlueOn, Ticked
from benchbell.plan.model.problem import Window
from benchbell.plan.tasks.after_hours import STAYS
from benchbell.plan.tasks.from_builds import problem_from_builds
from benchbell.plan.tasks.hours import Worker
from plan.shop_day import HOUR, MINUTE, MONDAY, build_of, presented
from small_recipes import FIT, PARTS, glue, work

EVENING = MONDAY + 9 * HOUR
"""When the shop closes, and a build of these tests begins."""

NIGHT = 15 * 60
"""Minutes until it opens again."""

TEXT = PARTS + work("saw", ["leg"], 'station = "table saw"') + FIT + glue(', clamps = { "heavy F" = 2 }')
FITTED = [Began("A/saw"), Finished("A/saw"), Began("A/fit"), Finished("A/fit")]
OPEN = [*FITTED, Began("A/glue"), GlueOn("A/glue")]
CLAMPED = [*OPEN, Clamped("A/glue")]


def at_work(*done, minute, id="b"):
    """A build in which these were done from the closing on, a minute apart, and seen at that minute."""
    return build_of(TEXT, *done, began=EVENING, now=EVENING + minute * MINUTE, id=id)


def problem_of(*builds, minute, opens=EVENING + NIGHT * MINUTE, workers=()):
    """The problem at that minute after the closing, with hands at work around the clock from the opening on."""
    hours = [(opens, opens + 1000 * HOUR)]
    return problem_from_builds(builds, lambda _: hours, {}, EVENING + minute * MINUTE, workers=workers).problem


def lines(*builds, minute):
    """What the plan says in minutes after the closing: operation, act, begin, end and reason."""
    plan = presented(*builds, now=EVENING + minute * MINUTE)
    return [
        (f"{one.build} {one.operation[2:]} {one.act}", *((ms - EVENING) // MINUTE for ms in (one.start, one.end)))
        for one in plan.steps
    ], [one.reason for one in plan.steps]


def test_a_glue_up_with_open_glue_ends_now_and_its_squeeze_out_is_cleaned_tonight():
    steps, _ = lines(at_work(*OPEN, minute=7), minute=7)

    glued = steps[0][2]

    assert steps == [
        ("b glue work", 7, glued),
        ("b glue squeeze-out", glued + 20, glued + 24),
        ("b glue clamps-off", NIGHT, NIGHT + 5),
    ]


def test_squeeze_out_of_two_glue_ups_is_cleaned_while_it_is_rubbery_and_clamps_stay_on():
    builds = [at_work(*CLAMPED, minute=12, id=id) for id in ("a", "b")]
    steps, said = lines(*builds, minute=12)

    assert [(name[2:], begin) for name, begin, _ in steps] == [
        ("glue squeeze-out", 27),
        ("glue squeeze-out", 31),
        ("glue clamps-off", NIGHT),
        ("glue clamps-off", NIGHT + 5),
    ]
    assert said[0] == "The squeeze-out is rubbery from 17:27 to 17:47."
    assert "17:47" in said[1]


def test_what_no_clock_drives_waits_for_the_morning_and_does_not_come_before_what_does():
    sawing = at_work(Began("A/saw"), Ticked("A/saw", "A/leg-1"), minute=12, id="a")
    problem = problem_of(sawing, at_work(*CLAMPED, minute=12), minute=12)
    ready = {op.id: op.ready for op in problem.ops}

    assert min(at for key, at in ready.items() if key != "b|A/glue|squeeze-out") == NIGHT - 12
    assert ready["b|A/glue|squeeze-out"] == 15
    assert not any(op.begun for op in problem.ops)


@pytest.mark.parametrize("done", [FITTED, [Began("A/saw")]])
def test_nothing_is_done_after_hours_where_no_clock_asks_for_hands(done):
    assert problem_of(at_work(*done, minute=5), minute=5).windows[0].start == NIGHT - 5


def test_hard_squeeze_out_and_somebody_who_went_home_keep_the_shop_closed():
    begins = {
        (len(done), minute): problem_of(at_work(*done, minute=minute), minute=minute).windows[0].start
        for done, minute in ((CLAMPED, 47), (CLAMPED, 48), (OPEN, 6 + STAYS), (OPEN, 7 + STAYS))
    }

    assert list(begins.values()) == [0, NIGHT - 48, 0, NIGHT - 7 - STAYS]


def test_over_a_meal_the_stretch_lasts_until_the_shop_opens_and_no_longer():
    problem = problem_of(at_work(*CLAMPED, minute=12), minute=12, opens=EVENING + 30 * MINUTE)

    assert problem.windows == (Window(0, 18), Window(18, 18 + 1000 * 60))


def test_of_several_people_the_first_who_may_do_it_is_there():
    opens = EVENING + NIGHT * MINUTE
    people = [
        Worker(name, unable, lambda _: [(opens, opens + 1000 * HOUR)])
        for name, unable in (("Ann", ("assembly table",)), ("Ben", ()))
    ]
    problem = problem_of(at_work(*OPEN, minute=7), minute=7, workers=people)
    until = problem.windows[0].end

    assert problem.windows[0].start == 0
    assert [hand.away for hand in problem.crew] == [(Window(0, until),), ()]

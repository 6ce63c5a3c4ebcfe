"""A presented plan: what is left out, evenings, forecasts, and what a change would bring."""

from collections import namedtuple

import pytest
from benchbell.bench.happenings import Began, Clamped, Finished, GlueOn
from benchbell.findings import Refused
from benchbell.plan.advise import unplanned_task
from benchbell.plan.report.messages import WhatIf
from benchbell.plan.report.what_if import difference, named, sentence, with_clamps, with_glues
from benchbell.plan.tasks.task import Task, key_of
from benchbell.recipe.shop_profile import ShopProfile
from plan.shop_day import HOUR, MINUTE, MONDAY, build_of, presented
from small_recipes import FIT, PARTS, glue, work

Titled = namedtuple("Titled", "title id", defaults=("",))

CLAMPS = ', clamps = { "heavy F" = 2 }'
GLUED = PARTS + FIT + glue(CLAMPS)
SAND = work("sand", ["leg"], 'station = "sanding"\nminutes = 700')


def test_what_fits_into_no_day_is_left_out_with_what_to_do_and_the_rest_is_planned():
    plan = presented(build_of(PARTS + SAND + work("last", ["rail"])))
    (left_out,) = plan.unplanned

    assert left_out.operation == "A/sand"
    assert "breakable" in left_out.reason
    assert [step.operation for step in plan.steps] == ["A/last"]


def test_a_glue_up_with_too_few_clamps_is_left_out_with_its_successors():
    trim = work("trim", ["frame"])
    plan = presented(build_of(GLUED + trim), clamps={"heavy F": 1})

    # Each once, though gluing and taking the clamps off are two tasks.
    assert [(one.operation, "clamps" in one.reason) for one in plan.unplanned] == [("A/glue", True), ("A/trim", False)]
    assert all("|" not in one.reason for one in plan.unplanned)


def test_of_two_builds_whose_names_end_alike_each_is_named_by_its_own_title():
    key = key_of("garden-stool", "A/glue")
    keys = {key_of("stool", "A/glue"): "The stool's glue-up", key: "The garden stool's glue-up"}
    tasks = {key: Task(key, "", Titled(title), "work", 5, False) for key, title in keys.items()}

    assert (
        unplanned_task(tasks[key], f"It comes after {key}.", tasks, {}).reason
        == "It comes after “The garden stool's glue-up”."
    )


def test_a_breakable_operation_goes_on_the_next_morning():
    plan = presented(build_of(PARTS + work("sand", ["leg"], "minutes = 700\nbreakable = true")))
    (step,) = plan.steps

    assert step.start == MONDAY
    assert step.end == MONDAY + 24 * HOUR + (700 - 9 * 60) * MINUTE


def test_a_piece_has_a_letter_only_where_there_are_several():
    one, two = presented(build_of(GLUED)), presented(build_of(GLUED, pieces=2))

    assert {step.piece for step in one.steps} == {""}
    assert {step.piece for step in two.steps} == {"A", "B"}
    assert not any(", A" in step.reason for step in one.steps)


def test_clamps_are_listed_where_they_are_taken_and_where_they_come_off():
    clamps = {step.act + step.operation: step.clamps for step in presented(build_of(GLUED)).steps}

    assert clamps == {
        "workA/fit": {},
        "workA/glue": {"heavy F": 2},
        "squeeze-outA/glue": {},
        "clamps-offA/glue": {"heavy F": 2},
    }


def coats(*names):
    """An operation with two coats for each, 12 h between them."""
    return "".join(
        work(name, [part], 'minutes = 20\ncoat = { with = "waterborne", coats = 2, recoat = "12 h" }')
        for name, part in names
    )


def test_before_you_go_home_names_what_can_dry_overnight_and_by_when_to_begin():
    now = MONDAY + 6 * HOUR
    plan = presented(build_of(PARTS + coats(("oil", "leg")), now=now), now=now)
    (one,) = plan.evening

    assert one.operation == "A/oil-1"
    assert one.by == MONDAY + 9 * HOUR - 20 * MINUTE
    assert one.reason == "Dries while you are away, until Tue 05:00."


def test_a_glue_up_on_whose_rest_the_finish_depends_is_not_put_off_to_the_evening():
    now = MONDAY + 6 * HOUR
    plan = presented(build_of(GLUED + work("trim", ["frame"], 'station = "table saw"'), now=now), now=now)

    assert plan.evening == ()


def test_several_overnight_tasks_leave_time_for_each_other():
    now = MONDAY + 6 * HOUR
    plan = presented(build_of(PARTS + coats(("oil", "leg"), ("varnish", "rail")), now=now), now=now)
    first, last = plan.evening

    assert last.by == MONDAY + 9 * HOUR - 20 * MINUTE
    assert first.by == last.by - 20 * MINUTE


def test_a_promised_build_comes_first():
    late, soon = build_of(GLUED, id="late"), build_of(GLUED, id="soon", due=MONDAY + 90 * MINUTE)
    plan = presented(late, soon, clamps={"heavy F": 2})
    finish = {forecast.build: forecast.finish for forecast in plan.forecasts}

    assert finish["soon"] <= MONDAY + 90 * MINUTE < finish["late"]
    assert plan.late_ms == 0


def test_clamps_that_are_on_count_as_in_use():
    done = [Began("A/fit"), Finished("A/fit"), Began("A/glue"), GlueOn("A/glue"), Clamped("A/glue")]
    now = MONDAY + 10 * MINUTE
    on = build_of(GLUED, *done, id="on", now=now)
    plan = presented(on, build_of(GLUED, id="next", now=now), now=now, clamps={"heavy F": 2})
    off = next(step for step in plan.steps if (step.build, step.act) == ("on", "clamps-off"))
    glued = next(step for step in plan.steps if (step.build, step.act, step.operation) == ("next", "work", "A/glue"))

    assert off.start >= MONDAY + 65 * MINUTE
    assert glued.start >= off.end


def test_two_more_clamps_make_it_sooner_and_the_sentence_says_by_how_much():
    builds = [build_of(GLUED, pieces=4)]
    few, more = (
        presented(*builds, clamps={"heavy F": 2}),
        presented(*builds, clamps=with_clamps({"heavy F": 2}, {"heavy F": 2})),
    )
    what = WhatIf(clamps={"heavy F": 2})
    found = difference(few, more, what, lambda ms: "then")

    assert found.sooner_ms > 0
    assert found.sentence.startswith("With 2 more heavy F clamps you are done then, ")
    assert "sooner than then" in found.sentence


def test_changes_are_named_in_a_makers_words():
    what = WhatIf(clamps={"heavy F": 1}, glue={"pva-interior": "pva-slow"})

    assert named(what)[0] == "1 more heavy F clamp"
    assert named(what)[1].startswith("PVA") and "in place of PVA" in named(what)[1]


def test_a_slower_glue_makes_it_later():
    build = build_of(GLUED)
    slow = with_glues([build], {"pva-interior": "pva-slow"}, ShopProfile())

    assert presented(*slow).finish > presented(build).finish


def test_an_unknown_glue_is_refused():
    with pytest.raises(Refused):
        with_glues([build_of(GLUED)], {"pva-interior": "moon-glue"}, ShopProfile())


def test_a_change_without_effect_is_called_that():
    plan = presented(build_of(GLUED))

    assert sentence(plan, plan, WhatIf(saturday=True), lambda ms: "then") == (
        "With Saturday worked you are done at the same time: then."
    )


def test_with_nothing_left_to_do_the_plan_is_empty():
    done = [Began("A/fit"), Finished("A/fit")]
    plan = presented(build_of(PARTS + FIT, *done))

    assert plan.steps == ()
    assert plan.finish == MONDAY

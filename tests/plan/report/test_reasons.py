"""The reason given for each task of a plan."""

import pytest
from benchbell.bench.happenings import Began, Clamped, ClampsOff, GlueOn, SetUp
from benchbell.commands.plan_lines import step_lines
from plan.shop_day import HOUR, MONDAY, build_of, presented, reasons
from small_recipes import FIT, PARTS, glue, work

CLAMPS = ', clamps = { "heavy F" = 2 }'
SETUP = '\n[[setup]]\nid = "stop"\nstation = "mitre saw"\nset = { stop = "420 mm" }\nminutes = 4\n'
CUT = SETUP + work("cut", ["leg"], 'setup = "stop"\nminutes = { each = 3 }')
TRIM = work("trim", ["frame"], 'station = "table saw"\nminutes = 10')


def test_begun_work_comes_first():
    plan = presented(build_of(PARTS + CUT + FIT, Began("A/cut")))

    assert plan.steps[0].operation == "A/cut"
    assert plan.steps[0].reason == "In hand: finish it first."


def test_a_glue_up_starts_its_wait_soon_and_its_clamps_come_off_when_they_may():
    said = reasons(presented(build_of(PARTS + FIT + glue(CLAMPS) + TRIM)))

    assert said["glue"].startswith("Starts a wait of 24 h")
    assert said["glue off"] == "The clamps may come off from 09:04."
    assert said["fit"] == "The finish depends on it."


def test_without_clamps_the_glue_sets_and_nobody_works_at_it():
    plan = presented(build_of(PARTS + FIT + glue() + TRIM))
    off = next(step for step in plan.steps if step.act == "clamps-off")

    assert off.unclamped
    assert off.end == off.start
    assert off.reason == "Leave it until the glue has set: not before 09:04."
    assert next(line.split("  ")[1:] for line in step_lines(off, several=False)) == ["09:04", "Glue: glue set"]


def test_what_has_set_without_clamps_is_only_to_be_finished():
    done = [GlueOn("A/glue"), Clamped("A/glue"), ClampsOff("A/glue")]
    plan = presented(build_of(PARTS + glue(), *done))

    assert plan.steps[0].reason == "The glue has set: finish it."


def test_a_glue_up_late_in_the_day_sets_while_nobody_is_there():
    now = MONDAY + 7 * HOUR
    said = reasons(presented(build_of(PARTS + FIT + glue(CLAMPS) + TRIM, now=now), now=now))

    assert said["glue"].startswith("Sets while you are away")
    assert "ends Tue" in said["glue"]


def test_clamps_that_another_glue_up_waits_for_are_said_so():
    plan = presented(build_of(PARTS + FIT + glue(CLAMPS), pieces=2), clamps={"heavy F": 2})
    first_off = next(step for step in plan.steps if step.act == "clamps-off")

    assert "waits for them" in first_off.reason
    assert "Glue" in first_off.reason


def test_a_standing_setup_is_a_reason():
    text = PARTS + CUT
    plan = presented(build_of(text, SetUp("stop", "mitre saw"), id="one"), build_of(text, id="two"))

    assert plan.changes == 0
    assert {step.reason for step in plan.steps} == {"The mitre saw is set for it already."}


def test_the_third_of_a_row_at_one_setup_counts_them():
    plan = presented(build_of(PARTS + CUT, pieces=3))

    assert [step.changes for step in plan.steps] == [True, False, False]
    assert plan.steps[2].reason == "Same setup at the mitre saw as the last 2."


def test_work_fits_into_a_wait_and_says_into_which():
    plan = presented(build_of(PARTS + FIT + glue(CLAMPS) + TRIM, id="one"), build_of(PARTS + CUT, id="two"))
    cut = next(step for step in plan.steps if step.operation == "A/cut")

    assert cut.reason.startswith("Fits into the wait until “Glue: clamps off” at ")


def test_a_window_that_must_not_be_missed_names_the_moment():
    coat = work("oil", ["leg"], 'coat = { with = "waterborne", coats = 2, recoat = "2 h", recoat_most = "6 h" }')
    plan = presented(build_of(PARTS + coat))

    assert plan.steps[1].reason.startswith("Begin by 14:01: after that the wait before it has been too long.")


def test_why_not_sooner_is_said_when_a_wait_held_it_up():
    said = reasons(presented(build_of(PARTS + FIT + glue(CLAMPS) + TRIM)))

    assert said["trim"].endswith("“Glue” has to wait until then.")
    assert "Not before" in said["trim"]


@pytest.mark.parametrize("hands_free_at", [8, 16])
def test_every_step_of_a_plan_has_a_sentence(hands_free_at):
    now = MONDAY + (hands_free_at - 8) * HOUR
    plan = presented(build_of(PARTS + CUT + FIT + glue(CLAMPS) + TRIM, pieces=3, now=now), now=now)

    assert all(step.reason.endswith(".") for step in plan.steps)
    assert len(plan.steps) == 3 * 6

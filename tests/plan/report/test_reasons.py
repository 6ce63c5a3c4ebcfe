"""The reason given for each task of a plan."""

import pytest
from benchbell.bench.happenings import Began, Clamped, ClampsOff, GlueOn, SetUp
from benchbell.commands.plan_lines import Names, step_lines
from plan.shop_day import HOUR, MONDAY, build_of, presented, reasons, shipped_builds
from small_recipes import FIT, PARTS, glue, work

CLAMPS = ', clamps = { "heavy F" = 2 }'
SETUP = '\n[[setup]]\nid = "stop"\nstation = "mitre saw"\nset = { stop = "420 mm" }\nminutes = 4\n'
OTHER_STOP = SETUP.replace('"stop"', '"other"').replace("420", "300")
CUT_AT_STOP = work("cut", ["leg"], 'setup = "stop"\nminutes = { each = 3 }')
LONG = work("sand", ["leg"], "minutes = 480")
CUT = SETUP + CUT_AT_STOP
TRIM = work("trim", ["frame"], 'station = "table saw"\nminutes = 10')


def test_begun_work_comes_first():
    plan = presented(build_of(PARTS + CUT + FIT, Began("A/cut")))

    assert plan.steps[0].operation == "A/cut"
    assert plan.steps[0].reason == "In hand: finish it first."


def test_clamps_come_off_when_they_may_and_what_simply_comes_next_has_no_reason():
    said = reasons(presented(build_of(PARTS + FIT + glue(CLAMPS) + TRIM)))

    assert said["fit"] == said["glue"] == ""
    assert said["glue cleaned"] == "The squeeze-out is rubbery until 08:44."
    assert said["glue off"] == "Not before 09:04: the glue sets until then."
    assert said["trim"] == "Not before 08:04: the glue of “Glue” sets until then."


def test_without_clamps_the_glue_sets_and_nobody_works_at_it():
    build = build_of(PARTS + FIT + glue() + TRIM)
    off = next(step for step in presented(build).steps if step.act == "clamps-off")

    assert off.unclamped
    assert off.end == off.start
    assert off.reason == ""
    lines = list(step_lines(off, Names([build]), several=False))
    assert [line.split("  ")[1:] for line in lines] == [["09:04", "Glue: glue set"]]


def test_what_has_set_without_clamps_is_only_to_be_finished():
    done = [GlueOn("A/glue"), Clamped("A/glue"), ClampsOff("A/glue")]
    plan = presented(build_of(PARTS + glue(), *done))

    assert plan.steps[0].reason == "The glue has set: finish it."


def test_clamps_that_another_glue_up_waits_for_are_said_so_at_both():
    plan = presented(build_of(PARTS + FIT + glue(CLAMPS), pieces=2), clamps={"heavy F": 2})
    first_off = next(step for step in plan.steps if step.act == "clamps-off")
    second = [step for step in plan.steps if step.operation.endswith("glue") and step.act == "work"][1]

    assert first_off.reason.startswith(f"“Glue, {second.piece}” waits for the heavy F clamps.")
    assert second.reason == "Not before 09:09: the heavy F clamps are in use until then."


def test_clamps_that_may_come_off_long_before_say_from_when():
    plan = presented(build_of(PARTS + FIT + glue(CLAMPS)), build_of(PARTS + LONG, id="long"))
    off = next(step for step in plan.steps if step.act == "clamps-off")

    assert off.reason.startswith("May come off from 09:04.")


def test_clamps_that_are_on_come_off_no_sooner_than_their_clock_says():
    clamped = build_of(PARTS + glue(CLAMPS), Clamped("A/glue"), now=MONDAY + HOUR // 4)
    plan = presented(clamped, build_of(PARTS + LONG, id="long"), now=MONDAY + HOUR // 4)
    off = next(step for step in plan.steps if step.act == "clamps-off")

    assert off.reason == "May come off from 09:01."


def test_what_stands_and_is_changed_later_is_done_while_it_stands():
    text = PARTS + SETUP + OTHER_STOP + CUT_AT_STOP + work("cut-2", ["rail"], 'setup = "other"\nminutes = 3')
    plan = presented(build_of(text, SetUp("stop", "mitre saw")))

    assert [step.reason for step in plan.steps] == ["While the mitre saw is set for it.", ""]


def test_a_setup_that_nothing_else_changes_is_no_reason():
    text = PARTS + CUT
    plan = presented(build_of(text, SetUp("stop", "mitre saw"), id="one"), build_of(text, id="two"))

    assert plan.changes == 0
    assert {step.reason for step in plan.steps} == {""}


def test_a_window_that_must_not_be_missed_names_the_moment_and_what_must_not_wait():
    coat = work("oil", ["leg"], 'coat = { with = "waterborne", coats = 2, recoat = "2 h", recoat_most = "6 h" }')
    plan = presented(build_of(PARTS + coat))

    assert plan.steps[1].reason.startswith("Begin by 14:01: “Oil, coat 1 of 2” must not wait longer.")


def test_a_coat_dries_and_glue_sets_and_at_night_no_minute_is_named():
    coat = work("oil", ["leg"], 'coat = { with = "waterborne", coats = 2, recoat = "12 h" }')
    plan = presented(build_of(PARTS + coat))

    assert plan.steps[1].reason.endswith("Overnight “Oil, coat 1 of 2” dries.")


def test_a_promise_that_binds_is_named_with_its_build():
    promised = build_of(PARTS + FIT + glue(CLAMPS), id="promised", due=MONDAY + 9 * HOUR)
    other = build_of(PARTS + LONG + work("last", ["rail"], "minutes = 300"), id="other")
    steps = presented(promised, other).steps
    said = {(step.build, step.operation): step.reason for step in steps if step.act == "work"}

    assert said["promised", "A/fit"] == "Not a day later: “Stool” is promised for 17:00."
    assert said["promised", "A/glue"] == ""  # the first of the day has said it
    assert not any("promised" in text for (build, _), text in said.items() if build == "other")


@pytest.mark.parametrize("hands", [1, 2])
def test_every_reason_is_whole_sentences_and_names_no_key(hands):
    plan = presented(*shipped_builds("hall-bench", "mantel-clock"), hands=hands)
    said = [step.reason for step in plan.steps if step.reason]

    assert len(said) < len(plan.steps) / 2
    assert all(text.endswith(".") and "|" not in text and "  " not in text for text in said)

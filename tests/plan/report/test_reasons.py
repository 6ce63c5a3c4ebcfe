"""The reason given for each task of a plan."""

import pytest
from benchbell.bench.happenings import Began, Clamped, ClampsOff, CoatOn, Finished, GlueOn, SetUp
from benchbell.commands.plan_lines import Names, step_lines
from benchbell.plan.report.reasons import reason
from benchbell.plan.report.too_late import too_late
from plan.report.contexts import context_for
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
    assert said["glue cleaned"] == "The squeeze-out is rubbery from 08:24 to 08:44."
    assert said["glue off"] == "Not before 09:04: the glue sets until then."
    assert said["trim"] == "The glue of “Glue” sets until 08:04, while you set up."


def test_a_clock_that_runs_is_named_by_what_started_it():
    coat = work("oil", ["leg"], 'coat = { with = "waterborne", coats = 2, recoat = "2 h" }')
    now = MONDAY + HOUR // 4
    said = reasons(presented(build_of(PARTS + coat, CoatOn("A/oil-1"), Finished("A/oil-1"), now=now), now=now))

    assert said["oil-2"] == "Not before 10:01: “Oil, coat 1 of 2” dries until then."


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


DUSTY = work("oil", ["leg"], 'minutes = 20\ncoat = { with = "waterborne", recoat = "2 h" }') + work(
    "sand", ["rail"], 'station = "sanding"\nminutes = 30'
)


def test_dust_beside_a_wet_coat_says_so_and_what_to_do():
    beside = context_for(build_of(PARTS + DUSTY), starts={"b|A/oil|work": 0, "b|A/sand|work": 20})
    before = context_for(build_of(PARTS + DUSTY), starts={"b|A/sand|work": 0, "b|A/oil|work": 30})
    sand = "b|A/sand|work"

    assert "Dust: “Oil” is wet until 10:20. Carry it out or cover it first." in reason(beside.t.at[sand], beside)
    assert "Dust" not in reason(before.t.at[sand], before)


def squeezed(start, glued=0):
    """What is said of squeeze-out cleaned at minute `start`."""
    keys = {act: f"b|A/glue|{act}" for act in ("work", "squeeze-out", "clamps-off")}
    starts = {keys["work"]: glued, keys["squeeze-out"]: start, keys["clamps-off"]: start + 4}
    c = context_for(build_of(PARTS + glue(CLAMPS)), starts=starts)
    return reason(c.t.at[keys["squeeze-out"]], c)


def test_squeeze_out_that_goes_hard_after_closing_is_cleaned_off_before():
    assert squeezed(535, 512).endswith("clean it off by 17:00, before the shop closes.")


def test_squeeze_out_that_is_hard_says_why_only_where_that_is_known():
    assert squeezed(1440, 530) == "The squeeze-out is rubbery overnight, and hard by then: scrape it off."
    assert squeezed(300) == "The squeeze-out is hard by then: scrape it off."


def test_waits_that_are_too_long_are_named():
    coat = work("oil", ["leg"], 'coat = { with = "waterborne", coats = 2, recoat = "2 h", recoat_most = "6 h" }')

    late = context_for(build_of(PARTS + coat), starts={"b|A/oil-1|work": 0, "b|A/oil-2|work": 500})
    assert too_late(late) == ("Oil, coat 1 of 2",)
    assert too_late(context_for(build_of(PARTS + coat))) == ()

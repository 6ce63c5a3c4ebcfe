"""What becomes of open builds: tasks, links, clamps and stations of a planning problem."""

import pytest
from benchbell.bench.happenings import (
    Began,
    Clamped,
    ClampsOff,
    Finished,
    GlueOn,
    Pared,
    SetUp,
    Spoiled,
    Ticked,
)
from benchbell.plan.model.problem import Hold, Link
from benchbell.plan.tasks.craft import FITTED, LEFT_ON
from benchbell.plan.tasks.task import SQUEEZE_OUT_MINUTES
from plan.open_builds import MINUTE, build_of, source_of
from small_recipes import FIT, PARTS, glue, work

GLUED = glue(', clamps = { "heavy F" = 2 }')
SETUP = '\n[[setup]]\nid = "stop"\nstation = "mitre saw"\nset = { stop = "420 mm" }\nminutes = 4\n'
CUT = SETUP + work("cut", ["leg"], 'setup = "stop"\nminutes = { each = 3 }')


def test_a_glue_up_is_three_tasks_with_lags_between_and_clamps_held_over_all():
    found = source_of(build_of(PARTS + FIT + GLUED), clamps={"heavy F": 6}).problem

    assert [op.id.removeprefix("b|A/") for op in found.ops] == [
        "fit|work",
        "glue|work",
        "glue|squeeze-out",
        "glue|clamps-off",
    ]
    assert [link for link in found.links if link.before != "b|A/fit|work"] == [
        Link("b|A/glue|work", "b|A/glue|squeeze-out", 20, wanted=40 - SQUEEZE_OUT_MINUTES),
        Link("b|A/glue|squeeze-out", "b|A/glue|clamps-off"),
        Link("b|A/glue|work", "b|A/glue|clamps-off", 60, wanted=60 + LEFT_ON, wanted_open=True),
    ]
    assert found.holds == (Hold("heavy F", 2, "b|A/glue|work", "b|A/glue|clamps-off"),)
    assert found.clamps == {"heavy F": 6}


def test_what_comes_after_a_glue_up_waits_for_its_clamps_and_a_machine_for_its_rest():
    trim = work("trim", ["frame"], 'station = "table saw"')
    found = source_of(build_of(PARTS + FIT + GLUED + trim)).problem

    assert Link("b|A/glue|clamps-off", "b|A/trim|work") in found.links
    assert Link("b|A/glue|work", "b|A/trim|work", 24 * 60) in found.links


def test_setup_minutes_belong_to_the_station_not_the_operation():
    found = source_of(build_of(PARTS + CUT)).problem
    cut = next(op for op in found.ops if op.id == "b|A/cut|work")
    saw = next(station for station in found.stations if station.id == "mitre saw")

    assert cut.minutes == 2 * 3
    assert saw.minutes[""] == {cut.setup: 4}
    assert saw.minutes[cut.setup] == {cut.setup: 0}


def test_builds_of_one_recipe_share_a_standing_setup():
    one = build_of(PARTS + CUT, SetUp("stop", "mitre saw"), id="one")
    two = build_of(PARTS + CUT, id="two")
    found = source_of(one, two).problem
    saw = next(station for station in found.stations if station.id == "mitre saw")

    assert saw.standing == "small.toml|stop"
    assert {op.setup for op in found.ops if op.station == "mitre saw"} == {saw.standing}


def test_begun_work_comes_first_with_what_is_left_of_it():
    found = source_of(build_of(PARTS + CUT, Began("A/cut"), Ticked("A/cut", "A/leg-1"))).problem
    cut = next(op for op in found.ops if op.id == "b|A/cut|work")

    assert cut.begun
    assert cut.minutes == 3
    assert cut.setup == ""


def test_clamps_in_use_are_held_from_the_beginning_and_come_off_when_their_clock_says():
    done = [Began("A/fit"), Finished("A/fit"), Began("A/glue"), GlueOn("A/glue"), Clamped("A/glue"), Pared("A/glue")]
    found = source_of(build_of(PARTS + FIT + GLUED, *done, now=10 * MINUTE), now=10 * MINUTE).problem
    (off,) = found.ops

    assert off.id == "b|A/glue|clamps-off"
    assert off.ready == 5 + 60 - 10  # clamped in minute 5, an hour in clamps, now minute 10
    assert found.holds == (Hold("heavy F", 2, "", off.id),)


@pytest.mark.parametrize(("minute", "ready", "by"), [(10, 15, 31), (30, 0, 11), (43, 0, 0), (60, 0, None)])
def test_squeeze_out_is_cleaned_while_it_is_rubbery_and_late_only_where_that_was_missed(minute, ready, by):
    done = [Began("A/fit"), Finished("A/fit"), Began("A/glue"), GlueOn("A/glue"), Clamped("A/glue")]
    now = minute * MINUTE
    clean, off = source_of(build_of(PARTS + FIT + GLUED, *done, now=now), now=now).problem.ops

    assert (clean.id, off.id) == ("b|A/glue|squeeze-out", "b|A/glue|clamps-off")
    assert (clean.ready, clean.by) == (ready, by)


def test_a_glue_up_in_hand_is_to_be_over_when_its_glue_is_not_open_any_more():
    done = [Began("A/fit"), Finished("A/fit"), Began("A/glue"), GlueOn("A/glue")]
    now = 4 * MINUTE
    build = build_of(PARTS + FIT + GLUED, *done, now=now)
    (open_time,) = (clock for clock in build.running if clock.kind == "open")
    work = source_of(build, now=now).problem.ops[0]

    assert work.begun
    assert work.by == max(0, open_time.most // MINUTE - 4 - work.minutes)


def test_a_dry_fit_is_followed_by_the_glue_up_of_its_parts_within_the_hour():
    both = FIT + GLUED + work("trim", ["frame"])
    links = source_of(build_of(PARTS + work("mark", ["leg"]) + both)).problem.links

    assert Link("b|A/fit|work", "b|A/glue|work", wanted=FITTED, wanted_open=True) in links
    assert Link("b|A/mark|work", "b|A/fit|work") in links
    assert Link("b|A/glue|clamps-off", "b|A/trim|work") in links


def test_a_glue_up_of_more_than_was_fitted_is_not_hurried_by_it():
    legs = work("fit", ["leg"], "dry_fit = true")

    assert Link("b|A/fit|work", "b|A/glue|work") in source_of(build_of(PARTS + legs + GLUED)).problem.links


def test_clamps_in_use_are_there_whatever_the_shop_says_it_has():
    done = [Began("A/fit"), Finished("A/fit"), Began("A/glue"), GlueOn("A/glue"), Clamped("A/glue")]

    assert source_of(build_of(PARTS + FIT + GLUED, *done), clamps={"heavy F": 1}).problem.clamps == {"heavy F": 2}


def test_a_rest_that_runs_already_counts_from_when_it_began():
    trim = work("trim", ["frame"], 'station = "table saw"')
    done = [Began("A/fit"), Finished("A/fit"), Began("A/glue"), GlueOn("A/glue"), Clamped("A/glue")]
    done += [ClampsOff("A/glue", "Needed elsewhere"), Finished("A/glue")]
    found = source_of(build_of(PARTS + FIT + GLUED + trim, *done, now=100 * MINUTE), now=100 * MINUTE).problem
    (left,) = found.ops

    assert left.id == "b|A/trim|work"
    assert left.ready == 5 + 24 * 60 - 100


def test_a_spoiled_part_is_made_again_first_and_alone():
    cut = [Began("A/cut"), Finished("A/cut")]
    found = source_of(build_of(PARTS + CUT + FIT, *cut, Spoiled("A/leg-1", "Split")))

    assert [(op.id, op.minutes) for op in found.problem.ops] == [("b|A/cut|work", 3), ("b|A/fit|work", 1)]
    assert found.problem.links == (Link("b|A/cut|work", "b|A/fit|work"),)
    assert found.gates == {"b|A/cut|work": "Leg 1 spoiled: make it again first."}
    assert found.unplanned == ()


def test_a_due_time_goes_with_every_task_of_its_build():
    found = source_of(build_of(PARTS + FIT + GLUED, due=600 * MINUTE)).problem

    assert {(op.piece, op.due) for op in found.ops} == {("b", 600)}


def test_links_are_in_topological_order():
    found = source_of(build_of(PARTS + FIT + GLUED, pieces=3)).problem
    place = {op.id: n for n, op in enumerate(found.ops)}

    assert all(place[link.before] < place[link.after] for link in found.links)

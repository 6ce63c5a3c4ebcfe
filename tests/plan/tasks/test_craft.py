"""What the problem knows of dust, wet coats and work that must not be hurried."""

import pytest
from benchbell.bench.happenings import Began, CoatOn, Finished
from benchbell.plan.model.problem import Craft
from plan.open_builds import MINUTE, build_of, source_of
from small_recipes import FIT, PARTS, glue, work

COAT = """
[[operation]]
id = "oil"
parts = ["rail"]
do = "Oil it."
minutes = 10
coat = { with = "hardwax-oil" }
"""
SHELLAC = COAT.replace("hardwax-oil", "shellac")
SAND = work("sand", ["leg"], 'station = "sanding"')
SAW = work("saw", ["leg"], 'station = "band saw"')
PARE = work("pare", ["leg"], 'station = "hand tools"')


def ops_of(text, **more):
    """The problem's operations by the name of their own."""
    return {op.id.split("/")[1]: op for op in source_of(build_of(text), **more).problem.ops}


def test_machines_and_sanding_throw_dust_and_hand_tools_do_not():
    assert [name for name, op in ops_of(PARTS + SAND + SAW + PARE).items() if op.dusty] == ["sand|work", "saw|work"]


@pytest.mark.parametrize(("coat", "wet"), [(COAT, 120), (SHELLAC, 60)])
def test_a_coat_is_wet_for_two_hours_or_until_it_may_be_rubbed_down(coat, wet):
    assert ops_of(PARTS + coat)["oil|work"].wet == wet


def test_in_a_finishing_room_no_dust_gets_at_a_coat():
    found = source_of(build_of(PARTS + COAT, Began("A/oil"), CoatOn("A/oil")), finishing_room=True).problem

    assert {op.wet for op in found.ops} == {0}
    assert found.wet_until == 0


def test_a_coat_that_is_on_is_wet_for_what_is_left_of_its_time():
    done = [Began("A/oil"), CoatOn("A/oil"), Finished("A/oil")]
    build = build_of(PARTS + COAT + SAND, *done)

    assert source_of(build, now=32 * MINUTE).problem.wet_until == 2 + 120 - 32
    assert source_of(build, now=500 * MINUTE).problem.wet_until == 0


def test_what_a_clock_drives_must_not_be_hurried():
    found = ops_of(PARTS + FIT + glue(', clamps = { "heavy F" = 2 }') + SAND + COAT)

    assert [name for name, op in found.items() if op.fiddly] == ["glue|work", "oil|work"]


def test_faults_of_craft_count_and_hands_stand_where_they_worked_last():
    assert source_of(build_of(PARTS + SAND + SAW)).problem.here == ""

    problem = source_of(build_of(PARTS + SAND + SAW, Began("A/sand"), Finished("A/sand"), Began("A/saw"))).problem

    assert (problem.craft, problem.here) == (Craft(), "band saw")

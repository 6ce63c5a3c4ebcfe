"""What stations are set to, and what setting them takes, with a named setup and without."""

import pytest
from benchbell.bench.happenings import Began, Finished, SetUp, SetupBroken
from benchbell.plan.tasks.stations import setting_minutes, setup_key
from benchbell.recipe.compiler import compile_text
from msgspec.structs import replace
from plan.open_builds import build_of, source_of
from small_recipes import PARTS, operations, work

SETUP = '\n[[setup]]\nid = "stop"\nstation = "table saw"\nset = { stop = "420 mm" }\nminutes = 6\n'
RIP = work("rip", ["leg"], 'station = "table saw"\nminutes = { each = 10 }')
CUT = work("cut", ["leg"], 'setup = "stop"\nminutes = { each = 3 }')
HEIGHT = '\n[choice.height]\nask = "How high?"\ndefault = "420 mm"\nleast = "200 mm"\nmost = "600 mm"\n'
PLANE = work("plane", ["leg"], 'station = "hand tools"\nminutes = { each = 10 }')
ALL = PARTS + SETUP + RIP + CUT + PLANE


def saw_of(*builds):
    """The table saw of the problem."""
    return next(station for station in source_of(*builds).problem.stations if station.id == "table saw")


def test_the_same_operation_of_other_pieces_and_builds_shares_what_was_set_for_it():
    found = source_of(build_of(ALL, pieces=2, id="one"), build_of(ALL, id="two")).problem

    assert {op.setup for op in found.ops if "rip" in op.id} == {"small.toml||rip"}
    assert {op.setup for op in found.ops if "plane" in op.id} == {""}


def test_pieces_with_answers_of_their_own_are_set_for_by_themselves():
    text = ALL.replace('"420 mm", "40 mm"', '"height", "40 mm"') + HEIGHT
    other = {"B.height": "300 mm"}
    one, two = (
        replace(build_of(text, pieces=2), sheet=compile_text(text, "small.toml", 2, chosen=c)) for c in ({}, other)
    )

    assert {setup_key(one, op) for op in one.sheet.operations if op.name == "rip"} == {"small.toml||rip|420 mm"}
    assert {setup_key(two, op) for op in two.sheet.operations if op.name == "rip"} == {
        "small.toml||rip|420 mm",
        "small.toml||rip|300 mm",
    }


def test_what_it_takes_to_set_a_stop_is_part_of_what_the_recipe_says():
    saw = saw_of(build_of(ALL))
    rip = next(op for op in source_of(build_of(ALL)).problem.ops if "rip" in op.id)

    assert saw.minutes["small.toml|stop"]["small.toml||rip"] == 4
    assert rip.minutes == 20 - 4


@pytest.mark.parametrize(
    ("station", "minutes", "setting"),
    [
        ("table saw", "{ each = 3 }", 3),
        ("table saw", "{ setup = 9, each = 3 }", 9),
        ("hand tools", "{ setup = 9, each = 3 }", 0),
        ("lathe", "{ each = 30 }", 0),
    ],
)
def test_setting_an_unnamed_stop_takes_what_is_usual_and_no_more_than_half(station, minutes, setting):
    op = operations(PARTS + work("rip", ["leg"], f'station = "{station}"\nminutes = {minutes}'))["rip"]

    assert setting_minutes(op) == setting


@pytest.mark.parametrize(
    ("done", "standing"),
    [
        ([], ""),
        ([SetUp("stop", "table saw")], "small.toml|stop"),
        ([SetUp("stop", "table saw"), Began("A/rip"), Finished("A/rip")], "small.toml||rip"),
        ([Began("A/rip"), Finished("A/rip"), SetUp("stop", "table saw")], "small.toml|stop"),
        ([SetUp("stop", "table saw"), SetupBroken("table saw")], ""),
        ([SetUp("stop", "table saw"), Began("A/plane")], "small.toml|stop"),
    ],
)
def test_unnamed_work_at_a_station_changes_what_it_is_set_to(done, standing):
    assert saw_of(build_of(ALL, *done, pieces=2)).standing == standing

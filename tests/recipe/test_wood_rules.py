"""How solid wood moves, and how wide it is. Common practice, no source, where nothing else is said."""

import pytest
from small_recipes import TITLE, rules, work

BOARDS = """
[[part]]
id = "board"
count = 4
stock = "white oak"
size = ["1200 mm", "{width} mm", "25 mm"]
"""
END = """
[[part]]
id = "end"
stock = "{stock}"
material = "{material}"
size = ["{length} mm", "90 mm", "25 mm"]
"""
HELD = 'check = ["In clamps."]\n'
PANEL = (
    HELD + 'glue = { with = "pva-slow", spread = "7 min", joints = [{ area = "1200 mm * 25 mm", length = "1200 mm" }] }'
)


def breadboard(width=150, length=600, joint='length = "600 mm"', keys="", stock="white oak", material="solid", area=25):
    parts = BOARDS.format(width=width) + END.format(length=length, stock=stock, material=material)
    ends = (
        HELD
        + f'glue = {{ with = "pva-slow", spread = "7 min", joints = [{{ area = "600 mm * {area} mm", {joint} }}] }}'
    )
    steps = work("panel", ["board"], f'makes = "top"\n{PANEL}') + work("fit", ["top", "end"], "dry_fit = true")
    return TITLE + parts + steps + work("ends", ["top", "end"], f'makes = "whole"\n{keys}\n{ends}')


def test_a_breadboard_end_is_not_glued_along_a_wide_top():
    assert rules(breadboard()) == ["cross-grain-glue"]


def test_glue_over_most_of_its_edge_holds_it_fast_too():
    assert rules(breadboard(joint="count = 1")) == ["cross-grain-glue"]


@pytest.mark.parametrize(("length", "said"), [(1120, ["cross-grain-glue"]), (1150, ["cross-grain-glue"]), (1170, [])])
def test_beside_a_panel_that_is_nearly_square_the_nearer_side_counts(length, said):
    across = breadboard(width=280, length=length, joint=f'length = "{length} mm"')

    assert [rule for rule in rules(across) if rule == "cross-grain-glue"] == said


@pytest.mark.parametrize(
    "fine",
    [
        {"keys": 'across = "room to move"'},
        {"joint": "count = 1", "area": 2},
        {"width": 40, "length": 160, "joint": 'length = "160 mm"'},
        {"stock": "oak-faced plywood", "material": "sheet"},
        {"length": 1200, "joint": 'length = "1200 mm"'},
    ],
    ids=["its middle only", "one tenon", "a narrow top", "a lip of plywood", "along the grain"],
)
def test_what_can_move_or_hardly_moves_may_be_glued(fine):
    assert rules(breadboard(**fine)) == []


PLANED = (
    TITLE + BOARDS + work("panel", ["board"], f'makes = "top"\n{PANEL}') + work("flat", ["top"], 'station = "planer"')
)


@pytest.mark.parametrize(("width", "said"), [(82.5, []), (83, ["too-wide"])])
def test_a_panel_is_no_wider_than_a_small_planer(width, said):
    assert rules(PLANED.replace("{width}", str(width))) == said


def test_a_shop_with_a_wide_planer_says_so():
    assert rules(PLANED.replace("{width}", "120"), widths_mm={"planer": 510}) == []


def test_other_machines_have_the_width_that_the_shop_gives_them():
    boards = TITLE + BOARDS.replace("{width}", "180") + work("face", ["board"], 'station = "jointer"')

    assert rules(boards) == []
    assert rules(boards, widths_mm={"jointer": 150}) == ["too-wide"]

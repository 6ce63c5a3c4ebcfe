import pytest
from small_recipes import LEGS, PARTS, RAIL, TITLE, rules, work


@pytest.mark.parametrize(
    ("across", "material", "said"),
    [
        ("fixed", "solid", ["no-room-to-move"]),
        ("room to move", "solid", []),
        ("fixed", "sheet", []),
    ],
)
def test_solid_wood_wants_room_and_sheets_do_not(across, material, said):
    text = TITLE + RAIL.replace("stock", f'material = "{material}"\nstock')

    assert rules(text + work("screw", ["rail"], f'across = "{across}"')) == said


def test_a_machines_setup_is_proved_and_a_benchs_need_not_be():
    setup = '\n[[setup]]\nid = "stop"\nstation = "bench"\n'

    assert rules(PARTS + setup + work("mark", ["leg", "rail"], 'setup = "stop"')) == []


def test_part_names_that_begin_alike_are_told_apart():
    pad = RAIL.replace('"rail"', '"leg-pad"')

    assert rules(TITLE + LEGS + pad + work("plane", ["leg-pad"])) == ["unused"]


def test_a_size_is_used_wherever_the_recipe_names_it():
    sizes = """
[size]
stop = "40 mm"
spread = "3 min"
glued = "30 mm * 60 mm"
night = "12 h"
shown = "7 deg"
off = "1 mm"
clear = { plan = "300 mm", measure = "Between the legs.", within = "off" }
"""
    setup = '\n[[setup]]\nid = "fence"\nstation = "bench"\nset = { fence = "stop" }\n'
    fit = work("fit", ["leg", "rail"], 'dry_fit = true\nmeasure = ["clear"]\nshow = ["shown"]')
    joint = 'makes = "frame"\nglue = { with = "pva-interior", spread = "spread", joints = [{ area = "glued" }] }'
    rest = work("mark", ["leg"], 'setup = "fence"\nwait = "night"')

    assert rules(TITLE + sizes + LEGS + RAIL + setup + rest + fit + work("glue", ["leg", "rail"], joint)) == []

import pytest
from small_recipes import LEGS, PARTS, RAIL, TITLE, compiled, rules, work


def worked(size, station):
    """What is said of a rail of that size at a station."""
    text = TITLE + RAIL.replace('"340 mm", "70 mm", "25 mm"', size)
    return rules(text + work("do", ["rail"], f'station = "{station}"'))


@pytest.mark.parametrize(
    ("size", "station", "said"),
    [
        ('"12 in", "3 in", "1 in"', "table saw", []),  # a magazine's rule: nothing shorter than 12 in
        ('"299 mm", "70 mm", "25 mm"', "table saw", ["part-too-small"]),
        ('"299 mm", "70 mm", "25 mm"', "hand tools", []),
        ('"400 mm", "19 mm", "25 mm"', "jointer", ["part-too-small"]),
        ('"400 mm", "70 mm", "5 mm"', "planer", ["part-too-small"]),
    ],
)
def test_a_part_is_held_against_its_stations_least_size(size, station, said):
    assert worked(size, station) == said


@pytest.mark.parametrize("need", ["crosscut sled", "carrier board, 400 mm", "taper jig", "Sleds for both ends"])
def test_a_sled_or_carrier_answers_for_a_small_part(need):
    # Common practice, no source.
    saw = work("do", ["rail"], f'station = "table saw"\nneeds = ["{need}"]')

    assert rules(TITLE + RAIL.replace("340 mm", "140 mm") + saw) == []
    assert rules(TITLE + RAIL.replace("340 mm", "140 mm") + saw.replace(need, "rip blade")) == ["part-too-small"]


@pytest.mark.parametrize(
    ("size", "said"),
    [
        ('"250 mm", "40 mm", "3 mm"', "its thickness is 3 mm, the usual least at the planer is 6 mm; its length too."),
        (
            '"60 mm", "40 mm", "5 mm"',
            "its length is 60 mm, the usual least at the planer is 300 mm; its thickness too.",
        ),
    ],
)
def test_the_measure_that_is_furthest_below_its_limit_is_named_first(size, said):
    text = TITLE + RAIL.replace('"340 mm", "70 mm", "25 mm"', size)
    [finding] = compiled(text + work("do", ["rail"], 'station = "planer"')).findings

    assert finding.what.endswith(said)


def test_veneer_is_not_held_against_a_machines_least_size():
    leaf = TITLE + RAIL.replace("25 mm", "0.6 mm").replace("stock", 'material = "veneer"\nstock')

    assert rules(leaf + work("trim", ["rail"], 'station = "table saw"')) == []


def test_copies_are_alike_and_different_parts_are_not():
    short = LEGS.replace("420", "120"), RAIL.replace("340 mm", "120 mm").replace("70 mm", "40 mm").replace("25", "40")

    assert (
        rules(TITLE + "".join(short) + work("saw", ["leg", "rail"], 'station = "mitre saw"')) == ["part-too-small"] * 2
    )


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

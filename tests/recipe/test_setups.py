import pytest
from small_recipes import LEGS, TITLE, operations, sound, work

SIZES = '\n[size]\nleg = "40 mm"\nsplay = "8 deg"\nclear = { plan = "300 mm", measure = "Between." }\n'
SETUP = """
[[setup]]
id = "splay-cut"
station = "mitre saw"
set = { "table angle" = "splay", stop = "clear - leg / cos(splay)", teeth = "60" }
prove = "Cut two scraps, flip one."
"""
CUT = work("cut", ["leg"], 'setup = "splay-cut"\nmeasure = ["clear"]')


def test_values_are_reckoned_in_their_own_kinds():
    [setup] = sound(TITLE + SIZES + LEGS + SETUP + CUT).setups

    assert [(value.name, value.dim) for value in setup.set] == [
        ("table angle", "angle"),
        ("stop", "length"),
        ("teeth", "number"),
    ]
    assert [value.plan for value in setup.set] == pytest.approx([8, 300 - 40 / 0.9902680687, 60])


def test_a_setup_is_named_for_its_id_and_takes_five_minutes_unless_told():
    [setup] = sound(TITLE + SIZES + LEGS + SETUP + CUT).setups

    assert (setup.title, setup.minutes) == ("Splay cut", 5)


def test_the_same_setup_in_several_operations_is_one():
    again = work("cut-again", ["leg"], 'setup = "splay-cut"')
    text = TITLE + SIZES + LEGS + SETUP + CUT + again

    assert len(sound(text).setups) == 1
    assert {op.setup for op in operations(text).values()} == {"splay-cut"}

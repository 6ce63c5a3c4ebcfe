"""Panels of boards side by side, and stacks of strips face to face."""

import pytest
from small_recipes import TITLE, rules, work

BOARDS = """
[[part]]
id = "board"
count = 6
stock = "white oak"
size = ["600 mm", "80 mm", "20 mm"]
"""


@pytest.mark.parametrize(
    ("line", "said"),
    # At the planer usually at most 330 mm: six boards edge to edge are 480 mm wide, in a stack still 80 mm.
    [("20 mm", ["too-wide"]), ("80 mm", [])],
)
def test_boards_glued_face_to_face_are_no_wider_than_one(line, said):
    joints = f'joints = [{{ area = "600 mm * {line}", count = 5, length = "600 mm" }}]'
    glue = f'makes = "panel"\nglue = {{ with = "pva-slow", spread = "6 min", {joints} }}\ncheck = ["In clamps."]'
    text = TITLE + BOARDS + work("glue-up", ["board"], glue)

    assert [one for one in rules(text + work("plane", ["panel"], 'station = "planer"')) if one == "too-wide"] == said

"""What the sheet says about how parts lie; wrong words are in tests/recipe/bad."""

import json
from pathlib import Path

import msgspec
import pytest
from benchbell.recipe.compiler import compile_text
from shipped import shipped_fragments
from small_recipes import sound, work

RECIPES = sorted((Path(__file__).parents[2] / "recipes").glob("*.toml"))

POST = """
[[part]]
id = "post"
count = {count}
stock = "white ash"
size = ["run", "40 mm", "40 mm"]
lies = {{ {lies} }}
"""

CAP = """
[[part]]
id = "cap"
stock = "white ash"
size = ["90 mm", "90 mm", "9 mm"]
lies = { way = "xyz", z = "on post - 2 mm" }
"""


def placed(lies, count=1, more=""):
    """The rows of a small recipe's sheet, as the phone gets them."""
    text = f'title = "T"\nhangs = true\n[size]\nrun = "400 mm"\n{POST.format(count=count, lies=lies)}{more}'
    return json.loads(msgspec.json.encode(sound(text + work("work", ["post", *(["cap"] if more else [])])).placings))


def test_words_become_formulas_that_the_phone_evaluates():
    assert placed('way = "zxy", x = "over run - 2 * 10 mm"', 2) == [
        {
            "part": "post",
            "count": 2,
            "way": "zxy",
            "size": [["@run"], [40.0], [40.0]],
            "x": [["over", ["@run", 2.0, 10.0, "*", "-"]]],
            "copies": {"x": 2},
        }
    ]


def test_a_face_is_an_item_like_a_size_and_its_part_comes_first():
    rows = placed('way = "zxy"', more=CAP)

    assert ["post", "cap"] == [row["part"] for row in rows]
    assert [["from", ["@post.top", 2.0, "-"]]] == rows[1]["z"]


def test_a_row_takes_what_other_words_leave():
    (row,) = placed('way = "zxy", x = "row 20 mm", y = "over 300 mm", copies = "y x"', 10)

    assert {"y": 2, "x": 5} == row["copies"]
    assert ["y", "x"] == list(row["copies"])


def test_more_may_lie_in_the_piece_than_are_cut():
    (row,) = placed('way = "zxy", x = "row 20 mm", count = 7', 2)

    assert (7, {"x": 7}) == (row["count"], row["copies"])


@pytest.mark.parametrize("recipe", RECIPES, ids=lambda file: file.stem)
def test_every_shipped_recipe_says_how_its_parts_lie_in_few_bytes(recipe):
    placings = compile_text(recipe.read_text(encoding="utf-8"), recipe.name, fragments=shipped_fragments()).placings

    assert len(placings) >= 4
    assert len(msgspec.json.encode(placings)) < 10_000


def test_a_shape_travels_with_what_is_taken_off_and_flat_says_nothing():
    flat = '{ edge = "top left", x = "1 mm", z = "2 mm" }'
    [row] = placed(
        f'way = "zxy", off = [{flat}, {{ edge = "back right", x = "3 mm", y = "run / 100", shape = "cove" }}]'
    )

    assert row["off"] == [
        {"edge": ["top", "left"], "by": {"x": [1.0], "z": [2.0]}},
        {"edge": ["back", "right"], "by": {"x": [3.0], "y": ["@run", 100.0, "/"]}, "shape": "cove"},
    ]

"""Where a piece lives, and what stands it there. Wood Handbook, FPL-GTR-190, Table 10-2; EN 204, from memory."""

import pytest
from small_recipes import FIT, PARTS, glue, rules, work

PLANE = work("plane", ["leg", "rail"])


FORM = """
[[part]]
id = "layer"
count = 2
stock = "birch plywood"
material = "sheet"
size = ["500 mm", "140 mm", "18 mm"]
once = true

[[fixture]]
id = "bow"
made = ["form"]
"""
FORM_GLUE = (
    'glue = { with = "pva-interior", spread = "3 min", joints = [{ area = "500 mm * 140 mm", length = "500 mm" }] }'
)


def piece(lives, with_="pva-interior", finish="hardwax-oil"):
    coat = work("coat", ["frame"], f'coat = {{ with = "{finish}" }}')
    return f'lives = "{lives}"\n' + PARTS + PLANE + FIT + glue(with_=with_) + coat


@pytest.mark.parametrize(
    ("lives", "with_", "said"),
    [
        # Table 10-2: PVA is for interiors; EN 204: D3 stands damp, D4 the weather if coated.
        ("indoors", "pva-interior", []),
        ("damp", "pva-interior", ["wrong-place"]),
        ("damp", "pva-type-2", []),
        ("outdoors", "pva-type-2", ["wrong-place"]),
        ("outdoors", "pva-type-1", []),
        ("outdoors", "polyurethane", []),
        ("outdoors", "hide-liquid", ["wrong-place"]),
    ],
)
def test_a_glue_is_good_for_where_the_piece_lives(lives, with_, said):
    assert rules(piece(lives, with_, "penetrating-oil")) == said


@pytest.mark.parametrize(
    ("lives", "finish", "said"),
    [
        ("indoors", "shellac", []),
        ("damp", "shellac", ["wrong-place"]),
        ("damp", "hardwax-oil", []),
        ("outdoors", "hardwax-oil", ["wrong-place"]),
        ("outdoors", "penetrating-oil", []),
    ],
)
def test_a_finish_is_good_for_where_the_piece_lives(lives, finish, said):
    # Common practice, no source.
    assert rules(piece(lives, "polyurethane", finish)) == said


def test_a_piece_lives_indoors_unless_it_says_otherwise():
    assert rules(piece("indoors").replace('lives = "indoors"\n', "")) == []


def test_a_form_stays_in_the_shop_wherever_the_piece_will_live():
    form = FORM + work("glue-form", ["layer"], f'once = true\nmakes = "form"\ncheck = ["In clamps."]\n{FORM_GLUE}')
    use = work("bend", ["frame"], "fixtures = { bow = 1 }")

    assert rules(piece("damp", "polyurethane") + form + use) == []

"""Where parts lie, against sums worked by hand and the trade's formulas for leaning legs."""

import tomllib
from math import atan2, cos, degrees, hypot, radians, sin, sqrt
from pathlib import Path

import pytest
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.solids.layout import layout
from benchbell.recipe.solids.solid import volume
from benchbell.recipe.solids.vectors import bounds
from benchbell.trade.angles import leaning_leg
from small_recipes import sound, work

RECIPES = Path(__file__).parents[3] / "recipes"


def part(id, size, lies, count=1):
    """A part and how it lies."""
    sizes = ", ".join(f'"{one}"' for one in size)
    return f'\n[[part]]\nid = "{id}"\ncount = {count}\nstock = "white ash"\nsize = [{sizes}]\nlies = {{ {lies} }}\n'


def laid(*parts, sizes="", as_built=None):
    """The parts of a recipe by name."""
    ids = [tomllib.loads(text)["part"][0]["id"] for text in parts]
    text = f'title = "T"\nhangs = true\n[size]\n{sizes}\n{"".join(parts)}{work("work", ids)}'
    return laid_in(sound(text), as_built or {})


def laid_in(sheet, as_built):
    """The parts of a sheet by name, with some sizes as built."""
    sizes = {size.name: size.plan for size in sheet.sizes} | as_built
    return {one.name: one for one in layout(sheet.placings, sizes)}


def shipped(name):
    """A shipped recipe's sheet."""
    return compile_text((RECIPES / f"{name}.toml").read_text(encoding="utf-8"), name)


def test_a_box_of_four_boards():
    # By hand: 400 over all and 300 deep, 120 high, of 12 mm boards; the ends stand between the long sides.
    found = laid(
        part("side", ["400 mm", "120 mm", "12 mm"], 'way = "xzy", y = "over 300 mm"', 2),
        part("end", ["276 mm", "120 mm", "12 mm"], 'way = "yzx", x = "over 400 mm"', 2),
    )

    assert ((-200.0, -150.0, 0.0), (200.0, -138.0, 120.0)) == (found["side-1"].low, found["side-1"].high)
    assert ((-200.0, 138.0, 0.0), (200.0, 150.0, 120.0)) == (found["side-2"].low, found["side-2"].high)
    assert ((-200.0, -138.0, 0.0), (-188.0, 138.0, 120.0)) == (found["end-1"].low, found["end-1"].high)
    assert ((188.0, -138.0, 0.0), (200.0, 138.0, 120.0)) == (found["end-2"].low, found["end-2"].high)


@pytest.mark.parametrize(
    ("words", "low"),
    [
        ("over 300 mm", [-150, 100]),
        ("clear 300 mm", [-200, 150]),
        ("centres 300 mm", [-175, 125]),
        ("row 20 mm", [-60, 10]),
    ],
)
def test_pairs_and_rows_lie_about_the_middle(words, low):
    # By hand: two parts 50 wide.
    found = laid(part("post", ["400 mm", "50 mm", "50 mm"], f'way = "zxy", x = "{words}"', 2))

    assert low == pytest.approx([found["post-1"].low[0], found["post-2"].low[0]])


def test_words_beside_another_part():
    # By hand: the post is 40 by 40 by 400 in the middle; each block is 100 by 60 by 20.
    found = laid(
        part("post", ["400 mm", "40 mm", "40 mm"], 'way = "zxy"'),
        part("cap", ["100 mm", "60 mm", "20 mm"], 'way = "xyz", z = "on post + 2 mm"'),
        part("key", ["100 mm", "60 mm", "20 mm"], 'way = "xyz", z = "under cap"'),
        part("wing", ["100 mm", "60 mm", "20 mm"], 'way = "xyz", x = "right of post"'),
        part("front", ["100 mm", "60 mm", "20 mm"], 'way = "xyz", y = "before post - 1 mm"'),
        part("flush", ["100 mm", "60 mm", "20 mm"], 'way = "xyz", y = "mid post.back", z = "to post.top"'),
    )

    assert (402, 422) == (found["cap"].low[2], found["cap"].high[2])
    assert (382, 402) == (found["key"].low[2], found["key"].high[2])
    assert (20, 120) == (found["wing"].low[0], found["wing"].high[0])
    assert (-81, -21) == (found["front"].low[1], found["front"].high[1])
    assert (-10, 50, 400) == (found["flush"].low[1], found["flush"].high[1], found["flush"].high[2])


def test_copies_differ_in_the_order_that_is_written():
    corner = 'way = "zxy", x = "over 300 mm", y = "over 200 mm"'
    middles = {}
    for copies in ("x y", "y x", "around"):
        found = laid(part("leg", ["400 mm", "40 mm", "40 mm"], f'{corner}, copies = "{copies}"', 4))
        middles[copies] = ["".join("-+"[found[f"leg-{n}"].low[axis] > -50] for axis in (0, 1)) for n in (1, 2, 3, 4)]

    assert middles == {
        "x y": ["--", "+-", "-+", "++"],
        "y x": ["--", "-+", "+-", "++"],
        "around": ["--", "+-", "++", "-+"],
    }


def test_a_measured_size_moves_what_depends_on_it():
    legs = part("leg", ["400 mm", "40 mm", "40 mm"], 'way = "zxy", x = "over run"', 2)

    assert -150 == laid(legs, sizes='run = "300 mm"')["leg-1"].low[0]
    assert -152 == laid(legs, sizes='run = "300 mm"', as_built={"run": 304.0})["leg-1"].low[0]


@pytest.mark.parametrize(("height", "front", "side"), [(420, 8, 0), (600, 7, 5), (700, 12, 3), (450, 15, 15)])
def test_a_leaning_leg_is_as_the_trades_formulas_say(height, front, side):
    # Reference: trade/angles.py, checked in tests/trade/test_angles.py against a published table of leg angles.
    leg = leaning_leg(height, front, side)
    lies = f'way = "zxy", x = "over 400 mm", y = "over 300 mm", lean = {{ x = "{front} deg", y = "{side} deg" }}'
    found = laid(part("leg", [f"{leg.length_mm} mm", "40 mm", "30 mm"], lies, 4))["leg-1"]
    x, y, z = (-one for one in found.grain)

    assert height == pytest.approx(found.high[2] - found.low[2])
    assert leg.lean == pytest.approx(degrees(atan2(hypot(x, y), abs(z))))
    assert leg.sight_line == pytest.approx(degrees(atan2(abs(y), abs(x))))
    assert -200 - leg.front_mm == pytest.approx(found.low[0])
    assert -150 - leg.side_mm == pytest.approx(found.low[1])


def test_a_leaning_leg_keeps_its_thickness_square_to_its_faces():
    # By hand: a face that leans by 12 degrees is 40 / cos 12 wide where it is cut level.
    found = laid(part("leg", ["400 mm", "40 mm", "30 mm"], 'way = "zxy", lean = { x = "12 deg" }'))["leg"]

    level = 40 / cos(radians(12)) + 400 * sin(radians(12))

    assert level == pytest.approx(found.high[0] - found.low[0])


def test_the_plant_stands_feet_stand_where_its_drawing_says():
    sheet = shipped("plant-stand")
    plan = {size.name: size.plan for size in sheet.sizes}
    feet = [one for one in laid_in(sheet, {}).values() if one.part == "leg"]
    low, high = bounds(point for foot in feet for point in (foot.low, foot.high))

    # Worked by hand from its sizes: 436 + 2 · 602 · tan 7° by 336 + 2 · 602 · tan 5°.
    assert (583.833, 441.337) == pytest.approx((plan["feet_length"], plan["feet_depth"]), abs=0.001)
    assert (plan["feet_length"], plan["feet_depth"]) == pytest.approx((high[0] - low[0], high[1] - low[1]))
    assert (0, 602) == pytest.approx((low[2], high[2]))


def test_a_taper_leaves_the_foot():
    lies = 'way = "zxy", off = [{ edge = "bottom right", x = "15 mm", z = "300 mm" }]'
    found = laid(part("leg", ["400 mm", "40 mm", "40 mm"], lies))["leg"]
    feet = [point[0] for point in found.solids[0].corners if point[2] == 0]

    assert 25 == pytest.approx(max(feet) - min(feet))
    assert 40 * 40 * 400 - 15 * 300 / 2 * 40 == pytest.approx(volume(found.solids[0]))


def test_tenons_are_part_of_the_length_and_lie_behind_slanting_shoulders():
    # By hand: 300 long over tenons of 20; its ends slant by 30 on 60, so that it is 60 shorter above.
    off = ", ".join(f'{{ edge = "top {side}", x = "30 mm", z = "60 mm" }}' for side in ("left", "right"))
    tenon = '{ long = "20 mm", thick = "8 mm", wide = "40 mm" }'
    body, *tenons = laid(part("rail", ["300 mm", "60 mm", "20 mm"], f'way = "xzy", tenon = {tenon}, off = [{off}]'))[
        "rail"
    ].solids

    assert (260 + 200) / 2 * 60 * 20 == pytest.approx(volume(body))
    assert [20 * 8 * 40] * 2 == pytest.approx([volume(one) for one in tenons])
    assert (-130, 130) == pytest.approx((body.low[0], body.high[0]))


def test_a_bow_rises_at_its_ends_and_a_slat_lies_in_it_as_steep_as_it_is():
    # By hand: the hollow is an arc of radius (200² + 50²) / 100 = 425 about a point 425 above its middle.
    found = laid(
        part("bow", ["400 mm", "40 mm", "20 mm"], 'way = "xyz", z = "to 100 mm", bow = "50 mm"'),
        part("slat", ["60 mm", "1 mm", "10 mm"], 'way = "yxz", x = "from 149.5 mm", z = "on bow"'),
    )
    hollow = [point for solid in found["bow"].solids for point in solid.corners if point[0] > 199.99 and point[2] > 140]
    height = 525 - sqrt(425**2 - 150**2)

    assert 150 == pytest.approx(max(point[2] for point in hollow), abs=0.01)
    assert height == pytest.approx((found["slat"].low[2]), abs=1.5)  # 16 straight pieces stand for the arc
    assert 150 / 425 == pytest.approx(-found["slat"].thick[0], abs=0.03)


def test_the_footrests_bows_meet_its_legs_where_it_bores_them():
    sheet = shipped("laminated-footrest")
    plan = {size.name: size.plan for size in sheet.sizes}
    leg = laid_in(sheet, {})["leg-4"]
    shoulder = plan["leg_under"]
    axis = leg.grain[1] / leg.grain[2] * (shoulder - leg.high[2]) + (leg.solids[-1].low[1] + leg.solids[-1].high[1]) / 2

    assert 0 == pytest.approx(leg.low[2])
    assert plan["leg_out"] == pytest.approx(axis, abs=3)

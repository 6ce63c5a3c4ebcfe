"""Two recipes as a maker writes them, a clock case and a chair: sound as they stand, and each trap found when it is set.

A trap is the recipe with one thing changed. That is written as texts of it, each with what stands in its place.
"""

import re
from pathlib import Path

import pytest
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.shop_profile import ShopProfile
from msgspec import Struct
from shipped import FOLDER, shipped_fragments

CLOCK, CHAIR = FOLDER / "mantel-clock.toml", FOLDER / "porch-chair.toml"


class Trap(Struct, frozen=True):
    """A recipe with each text of `change` replaced; then its rule is told, with words of its sentence."""

    recipe: Path
    change: dict[str, str]
    rule: str
    words: str
    shop: ShopProfile = ShopProfile()


def start_of(operation):
    """The text with which an operation begins."""
    return f'[[operation]]\nid = "{operation}"\n'


def put_before(operation, text):
    """A change that puts tables before an operation."""
    return {start_of(operation): f"{text.strip()}\n\n{start_of(operation)}"}


def left_out(recipe, operation):
    """A change that leaves an operation out."""
    found = re.search(re.escape(start_of(operation)) + r".*?\n(?=\[\[)", recipe.read_text(encoding="utf-8"), re.DOTALL)
    assert found, operation
    return {found[0]: ""}


def changed_in(recipe, operation, old, new):
    """A change of one text inside an operation."""
    text = recipe.read_text(encoding="utf-8")
    found = re.search(re.escape(start_of(operation)) + r".*?\n(?=\[\[)", text, re.DOTALL)
    assert found and found[0].count(old) == 1, (operation, old)
    return {found[0]: found[0].replace(old, new)}


BREADBOARD = """
[[part]]
id = "batten"
stock = "{wood}"
size = ["depth + 9 mm", "50 mm", "heavy"]

[[operation]]
id = "fit-batten"
dry_fit = true
parts = ["boards", "batten"]
do = "Hold it to the end."

[[operation]]
id = "glue-batten"
parts = ["boards", "batten"]
makes = "seat"
do = "Glue it to the end, along its whole length."
glue = { with = "epoxy-slow", spread = "5 min", joints = [{ area = "depth * heavy", length = "depth" }] }
"""

OILED_SLATS = """
[[operation]]
id = "oil-slats"
parts = ["lower-slat", "upper-slat"]
coat = { with = "penetrating-oil" }
do = "All over; wipe it dry."
"""

OILED_CASE = """
[[operation]]
id = "oil-inside"
parts = ["left-side", "top", "right-side", "bottom"]
coat = { with = "oil-varnish" }
do = "All over; wipe it dry."
"""

WATERBORNE = """
[[operation]]
id = "topcoat"
parts = ["chair"]
coat = { with = "waterborne" }
do = "Over everything."
"""

TRAPS = {
    "a breadboard end glued along a wide top": Trap(
        CHAIR,
        {'makes = "seat"\n': 'makes = "boards"\n'} | put_before("flatten-seat", BREADBOARD),
        "cross-grain-glue",
        "glues batten along its length across the grain of boards",
    ),
    "an indoor glue on a porch": Trap(
        CHAIR,
        changed_in(CHAIR, "glue-seat", "epoxy-slow", "urea-formaldehyde"),
        "wrong-place",
        "uses urea-formaldehyde, which is good indoors",
    ),
    "an indoor finish on a porch": Trap(
        CHAIR, changed_in(CHAIR, "oil", "penetrating-oil", "shellac"), "wrong-place", "uses shellac"
    ),
    "a creeping glue in a bent lamination": Trap(
        CHAIR,
        changed_in(CHAIR, "glue-upper-slat", "epoxy-slow", "pva-type-1"),
        "creeping-glue",
        "pva-type-1 creeps: bent work opens with the months",
    ),
    "a creeping glue under lasting load": Trap(
        CHAIR,
        changed_in(CHAIR, "glue-legs", 'with = "epoxy-slow"', 'with = "pva-type-1", stressed = true'),
        "creeping-glue",
        "glue-legs is under stress",
    ),
    "glue on oiled slats": Trap(CHAIR, put_before("fit-back", OILED_SLATS), "glue-on-oil", "glues what oil-slats"),
    "glue on a varnished case": Trap(CLOCK, put_before("fit-case", OILED_CASE), "glue-on-oil", "glues what oil-inside"),
    "a waterborne finish over an oil that is not cured": Trap(
        CHAIR, put_before("look-over", WATERBORNE), "water-over-oil", "puts waterborne over penetrating-oil after 24 h"
    ),
    "oily wood that nothing wipes": Trap(
        CHAIR,
        {'default = "white oak"\namong = ["white oak", "black locust"]': 'default = "teak"\namong = ["teak", "iroko"]'},
        "oily-wood",
        "glues teak",
    ),
    "a seat through a planer that is too narrow": Trap(
        CHAIR,
        changed_in(CHAIR, "flatten-seat", 'station = "hand tools"', 'station = "planer"'),
        "too-wide",
        "puts seat through the planer: it is 429 mm wide",
    ),
    "a seat flattened before its rest": Trap(
        CHAIR,
        changed_in(CHAIR, "glue-seat", 'spread = "12 min"', 'spread = "12 min", rest = "2 h"'),
        "machined-too-soon",
        "may be worked in flatten-seat after 2 h",
    ),
    "slats taken off the form too soon": Trap(
        CHAIR,
        changed_in(CHAIR, "glue-lower-slat", "stressed = true", 'stressed = true, clamp = "6 h"'),
        "clamped-too-short",
        "glue-lower-slat is 6 h in clamps, epoxy-slow usually needs 24 h under stress",
    ),
    "two slats in one form": Trap(
        CHAIR,
        changed_in(CHAIR, "glue-middle-slat", "back-form = 1", "back-form = 2"),
        "too-few-fixtures",
        "back-form",
    ),
    "a case that is rolled up too slowly": Trap(
        CLOCK,
        changed_in(CLOCK, "glue-case", 'spread = "7 min", close = "3 min"', 'spread = "14 min", close = "3 min"'),
        "spread-too-long",
        "takes 11 min to spread, hide-liquid stays open 10 min",
    ),
    "hot hide glue for a case": Trap(
        CLOCK, changed_in(CLOCK, "glue-case", "hide-liquid", "hide-hot"), "spread-too-long", "hide-hot"
    ),
    "hot hide glue in a cool room": Trap(
        CLOCK, changed_in(CLOCK, "glue-keys", "hide-liquid", "hide-hot"), "too-cold", "hide-hot needs at least 21 °C"
    ),
    "a cold shop": Trap(
        CHAIR, {}, "too-cold", "glued at 8 °C (46 °F), epoxy-slow needs at least 15 °C", ShopProfile(celsius=8)
    ),
    "shellac in damp air": Trap(CLOCK, {}, "too-damp", "85 % relative humidity", ShopProfile(humidity=85)),
    "a thin board through the planer without its carrier": Trap(
        CLOCK,
        {
            'needs = ["carrier board under the work, longer than the case board"]\n': "",
            'case = "1/4 in"': 'case = "1/8 in"',
        },
        "part-too-small",
        "its thickness is 1/8 in",
    ),
    "a case that nobody put together dry": Trap(
        CLOCK, left_out(CLOCK, "fit-case"), "no-dry-fit", "glue-case glues 4 parts"
    ),
    "legs that nobody put together dry": Trap(
        CHAIR, left_out(CHAIR, "fit-legs"), "no-dry-fit", "glue-legs glues 9 parts"
    ),
    "a slat pressed with three clamps": Trap(
        CHAIR, changed_in(CHAIR, "glue-lower-slat", '"light F" = 10', '"light F" = 3'), "few-clamps", "has 3 of the"
    ),
    "posts that go through the seat without a tenon": Trap(
        CHAIR,
        {'z = "to height + post_up", lean': 'z = "to height + post_up - 60 mm", lean'},
        "runs-through",
        "run through each other",
    ),
    "a surround behind the front, but not on it": Trap(
        CLOCK,
        {'lies = { way = "zxy", y = "behind back-leaf", z': 'lies = { way = "zxy", y = "behind back-leaf + 1/8 in", z'},
        "gap",
        "glue-surround glues parts that do not touch",
    ),
    "seat boards apart": Trap(CHAIR, {'y = "row 0 mm"': 'y = "row 2 mm"'}, "gap", "glue-seat glues parts that do not"),
    "slats that stop short of the posts": Trap(
        CHAIR,
        {
            'lies = { way = "xzy", size = ["chord", "slat_width", "slat"], y = "mid depth / 2 - post_in + (post_up': 'lies = { way = "xzy", size = ["slat_clear - 9 mm", "slat_width", "slat"], y = "mid depth / 2 - post_in + (post_up'
        },
        "gap",
        "is to meet upper-slat at its upper mortise, but does not touch it",
    ),
    "back legs too far in front": Trap(
        CHAIR, {'leg_in_back = "100 mm"': 'leg_in_back = "300 mm"'}, "does-not-stand", "falls over"
    ),
    "mortises that cut the posts in two": Trap(
        CHAIR, {'ply = "2.5 mm"': 'ply = "6 mm"', 'slat_in = "14 mm"': 'slat_in = "26 mm"'}, "weakened", "post-1 loses"
    ),
    "a plinth across the grain of the case": Trap(
        CLOCK,
        {'mark = "F on the front edge, underside marked"\nlies = { way = "xyz" }': 'lies = { way = "yxz" }'},
        "across-grain",
        "fix-plinth",
    ),
    "copies whose places contradict how they lie": Trap(
        CHAIR,
        {
            'places = ["left front", "right front", "left back", "right back"]': 'places = ["right front", "left front", "right back", "left back"]'
        },
        "untrue-place",
        "leg",
    ),
    "a setup without a proof": Trap(
        CLOCK,
        {
            'prove = "Cut four short scraps of case stuff, tape them to a square box: every corner closes, and two opposite ones are equal by the stop."\n': ""
        },
        "no-proof",
        "Setup mitres",
    ),
}
"""By what goes wrong."""


def told(recipe, change, shop=ShopProfile()):
    """All findings of a recipe after a change, by rule."""
    text = recipe.read_text(encoding="utf-8")
    for old, new in change.items():
        assert text.count(old) == 1, f"{text.count(old)} times: {old}"
        text = text.replace(old, new)
    return compile_text(text, recipe.name, 1, shop, fragments=shipped_fragments()).findings


@pytest.mark.parametrize("trap", TRAPS.values(), ids=TRAPS)
def test_a_trap_is_found(trap):
    found = told(trap.recipe, trap.change, trap.shop)

    assert [one.rule for one in found if one.grade == "error" and one.rule != trap.rule] == []
    assert any(one.rule == trap.rule and trap.words in one.what for one in found), [str(one) for one in found]

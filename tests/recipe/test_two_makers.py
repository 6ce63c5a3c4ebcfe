"""In the recipes of two makers each trap is found when it is set. A trap is the recipe with one thing changed."""

from pathlib import Path

import pytest
from benchbell.recipe.shop_profile import ShopProfile
from msgspec import Struct
from two_makers import CHAIR, CLOCK, USUAL, changed_in, moved_before, put_before, sheet_with, without


class Trap(Struct, frozen=True):
    """A recipe with each text of `change` replaced; then its rule is told, with words of its sentence."""

    recipe: Path
    change: dict[str, str]
    rule: str
    words: str
    shop: ShopProfile = USUAL


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

SHELLACKED = """
[[operation]]
id = "seal-front"
parts = ["front"]
coat = { with = "shellac" }
do = "All over."
"""

TRAPS = {
    "a breadboard end glued along a wide top": Trap(
        CHAIR,
        {'makes = "seat"\n': 'makes = "boards"\n'} | put_before(CHAIR, "flatten-seat", BREADBOARD),
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
    "glue on oiled slats": Trap(
        CHAIR, put_before(CHAIR, "fit-back", OILED_SLATS), "glue-on-oil", "glues what oil-slats"
    ),
    "glue on a varnished case": Trap(
        CLOCK, put_before(CLOCK, "fit-case", OILED_CASE), "glue-on-oil", "glues what oil-inside"
    ),
    "a waterborne finish over an oil that is not cured": Trap(
        CHAIR,
        put_before(CHAIR, "look-over", WATERBORNE),
        "water-over-oil",
        "puts waterborne over penetrating-oil after 24 h",
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
        changed_in(CLOCK, "case-stuff", "carrier board under the work", "board under the work")
        | {'case = "1/4 in"': 'case = "3/16 in"'},
        "part-too-small",
        "its thickness is 3/16 in",
    ),
    "strips through the planer without their carrier": Trap(
        CHAIR,
        changed_in(CHAIR, "strip-thickness", "flat carrier board", "flat board")
        | changed_in(CHAIR, "plane-strips", "the carrier, waxed under", "wax"),
        "part-too-small",
        "plane-strips planes to 2.5 mm, the usual least at the planer is 6 mm",
    ),
    "a case that nobody put together dry": Trap(
        CLOCK, without(CLOCK, "fit-case"), "no-dry-fit", "glue-case glues 4 parts"
    ),
    "legs that nobody put together dry": Trap(
        CHAIR, without(CHAIR, "fit-legs"), "no-dry-fit", "glue-legs glues 9 parts"
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
        changed_in(CLOCK, "surround", "behind back-leaf", "behind back-leaf + 1/8 in"),
        "gap",
        "glue-surround glues parts that do not touch",
    ),
    "seat boards apart": Trap(CHAIR, {'y = "row 0 mm"': 'y = "row 2 mm"'}, "gap", "glue-seat glues parts that do not"),
    "slats that stop short of the posts": Trap(
        CHAIR,
        changed_in(CHAIR, "upper-bundle", 'size = ["chord"', 'size = ["slat_clear - 9 mm"'),
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
        changed_in(CLOCK, "plinth", 'way = "xyz"', 'way = "yxz"'),
        "across-grain",
        "fix-plinth",
    ),
    "copies whose places contradict how they lie": Trap(
        CHAIR,
        changed_in(CHAIR, "leg", '["left front", "right front", ', '["right front", "left front", '),
        "untrue-place",
        "leg",
    ),
    "veneer on one face only": Trap(
        CLOCK,
        changed_in(CLOCK, "press-front", '"core", "face-leaf", "back-leaf"', '"core", "face-leaf"'),
        "one-face",
        "press-front lays veneer on one face of core only",
    ),
    "veneer pressed by two spring clamps": Trap(
        CLOCK,
        changed_in(CLOCK, "press-front", '"heavy F" = 6', "spring = 2"),
        "veneer-pressure",
        "has 2 of the 19 clamps",
    ),
    "a rabbet run on sides that are mitred already": Trap(
        CLOCK,
        moved_before(CLOCK, "cut-mitres", "rabbet-front"),
        "mitred-first",
        "runs a rabbet or moulding on left-side, which cut-mitres has mitred",
    ),
    "glue on a shellacked case": Trap(
        CLOCK,
        put_before(CLOCK, "fit-front", SHELLACKED),
        "glue-on-finish",
        "glue-front glues what seal-front has coated",
    ),
    "a case handled an hour after its last coat": Trap(
        CLOCK,
        changed_in(CLOCK, "shellac", 'wait = "7 d"', 'wait = "1 h"'),
        "handled-too-soon",
        "rests 1 h after its last coat",
    ),
    "glass at a router": Trap(
        CLOCK,
        changed_in(CLOCK, "cut-recess", 'parts = ["surround"]', 'parts = ["surround", "glass"]'),
        "not-wood",
        "works glass, of picture glass, round, edges ground, at the router",
    ),
    "the board rabbeted whole after it was cut up": Trap(
        CLOCK,
        moved_before(CLOCK, "cut-mitres", "rabbet-back"),
        "cut-before",
        "rabbet-back works left-side in lengths, which cut-mitres has cut to length before; so it is with top",
    ),
    "a lean measured from the seat": Trap(
        CHAIR, {'front = "9 deg"': 'front = "81 deg"'}, "slope-or-lean", "takes a lean from the vertical"
    ),
    "slats that go less than nothing into the posts": Trap(
        CHAIR, {'slat_in = "14 mm"': 'slat_in = "-3 mm"'}, "no-size", "glue-back: joint 1, area would be -3.2 cm²"
    ),
    "a seat of forty": Trap(CHAIR, {'seat = "40 mm"': 'seat = "40"'}, "no-unit", "Size seat: “40” has no unit"),
    "a corner that is drawn square where mitres are cut": Trap(
        CLOCK,
        {
            'off = [{ edge = "top right", x = "case", z = "case" }, { edge = "bottom right"': (
                'off = [{ edge = "bottom right"'
            ),
            'off = [{ edge = "bottom left", x = "case", z = "case" }, { edge = "bottom right"': (
                'off = [{ edge = "bottom right"'
            ),
        },
        "runs-through",
        "left-side and top both fill their corner",
    ),
    "a back wider than its rabbets": Trap(
        CLOCK,
        changed_in(CLOCK, "back", '"clear_width - 1/32 in"', '"clear_width + 1/8 in"'),
        "does-not-fit",
        "back does not fit the rabbet of left-side: it goes 1/16 in too far",
    ),
    "a setup without a proof": Trap(
        CLOCK,
        changed_in(CLOCK, "mitres", "\nprove = ", "\n# "),
        "no-proof",
        "Setup mitres",
    ),
}
"""By what goes wrong."""


@pytest.mark.parametrize("trap", TRAPS.values(), ids=TRAPS)
def test_a_trap_is_found(trap):
    found = sheet_with(trap.recipe, trap.change, trap.shop).findings

    assert [one.rule for one in found if one.grade == "error" and one.rule != trap.rule] == []
    assert any(one.rule == trap.rule and trap.words in one.what for one in found), [str(one) for one in found]

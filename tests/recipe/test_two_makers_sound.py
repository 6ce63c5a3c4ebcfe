"""What a maker may do in the recipes of two makers without a word, and what is reckoned from them."""

import pytest
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.unfit_air import Air, unfit_air
from two_makers import CHAIR, CLOCK, USUAL, changed_in, moved_before, put_before, sheet_with, without

SLIDING_END = """
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
across = "room to move"
do = "Glue its middle only; the rest slides on two slotted pegs."
glue = { with = "epoxy-slow", spread = "5 min", joints = [{ area = "60 mm * heavy" }] }
"""

TAPED = """
[[operation]]
id = "oil-slats"
parts = ["lower-slat", "upper-slat"]
coat = { with = "penetrating-oil" }
do = "Tape round the ends; all over, wipe it dry."
"""

SHELLAC_BETWEEN = """
[[operation]]
id = "seal"
parts = ["clock"]
coat = { with = "shellac" }
do = "One thin coat."

[[operation]]
id = "topcoat"
parts = ["clock"]
coat = { with = "waterborne" }
do = "Over everything."
"""

OILY_WOOD = {
    'default = "white oak"\namong = ["white oak", "black locust"]': 'default = "teak"\namong = ["teak", "iroko"]'
}
GLUED = ("lower-slat", "middle-slat", "upper-slat", "back", "legs", "posts")
WIPED = {
    table: new
    for name in GLUED
    for table, new in changed_in(CHAIR, f"glue-{name}", 'do = ["', 'do = ["Wipe with acetone. ').items()
}
"""The glue-up of the seat says it already."""

SOUND = {
    "the clock as it stands": (CLOCK, {}, USUAL),
    "the chair as it stands": (CHAIR, {}, USUAL),
    "three boards edge to edge without a dry fit": (CHAIR, without(CHAIR, "fit-seat"), USUAL),
    "closing a case takes longer than its glue is open, but not than it may be put together": (
        CLOCK,
        changed_in(CLOCK, "glue-case", 'spread = "7 min", close = "3 min"', 'spread = "15 min", close = "6 min"'),
        USUAL,
    ),
    "a breadboard end that may slide": (
        CHAIR,
        {'makes = "seat"\n': 'makes = "boards"\n'} | put_before(CHAIR, "flatten-seat", SLIDING_END),
        USUAL,
    ),
    "slats oiled beside tape": (CHAIR, put_before(CHAIR, "fit-back", TAPED), USUAL),
    "a wide seat in a shop with a wide planer": (
        CHAIR,
        changed_in(CHAIR, "flatten-seat", 'station = "hand tools"', 'station = "planer"'),
        ShopProfile(widths_mm={"planer": 510}),
    ),
    "oily wood that is wiped before each glue-up": (CHAIR, OILY_WOOD | WIPED, USUAL),
    "a glue under lasting load that does not creep": (
        CHAIR,
        changed_in(CHAIR, "glue-legs", 'with = "epoxy-slow"', 'with = "polyurethane", stressed = true'),
        USUAL,
    ),
    "waterborne over shellac": (CLOCK, put_before(CLOCK, "look-over", SHELLAC_BETWEEN), USUAL),
}
"""By what is done: a recipe, a change of it, and a shop."""


@pytest.mark.parametrize(("recipe", "change", "shop"), SOUND.values(), ids=SOUND)
def test_what_may_be_done_is_not_warned_of(recipe, change, shop):
    assert [str(finding) for finding in sheet_with(recipe, change, shop).findings] == []


def test_a_case_is_measured_before_anything_is_cut_to_it_wherever_that_stands():
    order = [op.name for op in sheet_with(CLOCK, moved_before(CLOCK, "trim-back", "slot-corners")).operations]

    assert order.index("flush-keys") < order.index("measure-clear") < order.index("trim-back")


def test_slats_cut_before_they_are_measured_are_one_error():
    found = sheet_with(CHAIR, moved_before(CHAIR, "measure-slats", "kerf-tenons")).findings

    assert [finding.rule for finding in found] == ["cut-before-measured"]


def test_below_its_least_temperature_nothing_is_glued():
    sheet = sheet_with(CHAIR, {})
    ops = {op.name: op for op in sheet.operations}
    seat = unfit_air(ops["glue-seat"], sheet.figures, Air(8, 50))

    assert seat and seat.instead == "not at this temperature"
    assert seat.why == "Not at this temperature: 8 °C (46 °F) in the shop, epoxy-slow needs at least 15 °C (59 °F)."
    assert unfit_air(ops["flatten-seat"], sheet.figures, Air(8, 50)) is None


def test_thin_sides_count_as_thick_as_they_are_bought_and_glass_has_no_waste():
    of = {one.stock: one for one in sheet_with(CLOCK, {}).materials}
    sides, plinth, blocks = 2 * (9 + 7) * 4, 8.25 * 5.25, (5.5 + 4 * 1.25) * 0.625  # in²

    assert of["black walnut"].amount == pytest.approx(1.4 * (sides + plinth + blocks) / 144)  # all of it 1 in thick
    assert of["black walnut"].resawn == pytest.approx(1.4 * (sides / 2 + plinth + blocks) / 144)
    assert of["picture glass, round, edges ground"].amount == pytest.approx(0.0254**2 * 4.375**2)


def test_a_small_clock_has_its_parts_named_at_a_long_board():
    board = next(one for one in sheet_with(CLOCK, {}).boards if one.id.endswith("case"))

    assert [id.rpartition("/")[2] for id in board.of] == ["left-side", "top", "right-side", "bottom"]
    assert board.rough_mm[0] > 2 * (9 + 7) * 25.4


@pytest.mark.parametrize(
    ("station", "cautions"),
    [
        ("lathe", {"eyes", "noise", "loose-clothing"}),
        ("drill press", {"eyes", "noise", "loose-clothing", "clamp-the-work"}),
        ("mitre saw", {"eyes", "noise", "clamp-the-work"}),
        ("band saw", {"eyes", "noise", "dust"}),
    ],
)
def test_a_machine_that_throws_chips_says_what_to_wear(station, cautions):
    ops = [op for op in sheet_with(CHAIR, {}).operations if op.station == station]

    assert ops and all(cautions <= set(op.cautions) for op in ops)

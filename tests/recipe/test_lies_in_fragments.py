"""Where parts of a fragment lie: its words get the use's name in front, as all its ids do."""

import pytest
from benchbell.recipe.prefixes import prefixed
from benchbell.recipe.solids.layout import layout
from shipped import FRAGMENTS, RECIPES, compile_file


@pytest.mark.parametrize(
    ("place", "known"),
    [
        ("on rail", "on upper-rail"),
        ("right of side-2 - 2 * inset", "right of upper-side-2 - 2 * upper_inset"),
        ("over width - 3 mm", "over upper_width - 3 mm"),
        ("to front-rail.top - gap", "to upper-front-rail.top - upper_gap"),
        ("row gap from rail.top", "row upper_gap from upper-rail.top"),
    ],
)
def test_names_in_a_place_get_the_uses_name_in_front(place, known):
    assert known == prefixed(place, "place", "upper-")


def laid_in(name):
    """The parts of a shipped recipe where they lie, by name."""
    (recipe,) = (file for file in RECIPES if file.stem == name)
    sheet = compile_file(recipe)
    return {one.name: one for one in layout(sheet.placings, {size.name: size.plan for size in sheet.sizes})}


def test_the_drawers_of_the_bedside_table_lie_each_in_its_opening():
    laid = laid_in("bedside-table")

    assert laid["upper-front"].low[2] == pytest.approx(laid["front-rail-2"].high[2])
    assert laid["lower-front"].low[2] == pytest.approx(laid["front-rail-3"].high[2])
    assert laid["upper-front"].low[1] == pytest.approx(laid["leg-1"].low[1])
    assert laid["upper-side-1"].low[0] == pytest.approx(laid["upper-front"].low[0])


def test_the_panels_of_the_bedside_table_lie_in_the_grooves_of_their_sides():
    # By hand: the panel is as far into the upper rail as into the lower one, and flush with neither of its faces.
    laid = laid_in("bedside-table")
    for panel, lower, upper in (("left", "side-rail-2", "side-rail-1"), ("right", "side-rail-4", "side-rail-3")):
        first, last = laid[f"{panel}-board-1"], laid[f"{panel}-board-2"]

        assert laid[lower].high[2] - first.low[2] == pytest.approx(last.high[2] - laid[upper].low[2])
        assert laid[lower].high[2] - first.low[2] > 5
        assert first.high[2] == pytest.approx(last.low[2])
        assert first.low[0] - laid[lower].low[0] == pytest.approx(laid[lower].high[0] - first.high[0])


def test_the_panel_of_the_cabinets_door_lies_in_the_middle_of_its_frame():
    laid = laid_in("wall-cabinet")
    boards = [laid[f"door-field-board-{n}"] for n in (1, 2, 3)]

    assert boards[0].low[0] == pytest.approx(-boards[2].high[0])
    assert boards[0].high[2] - laid["door-rail-1"].low[2] == pytest.approx(
        laid["door-rail-2"].high[2] - boards[0].low[2]
    )


@pytest.mark.parametrize("grain", ["not drawn", "up", "to the back"])
def test_a_floating_panel_lies_whichever_way_its_grain_goes(grain):
    (panel,) = (file for file in FRAGMENTS if file.stem == "floating-panel")
    sheet = compile_file(panel, chosen={"grain": grain})

    assert [] == list(sheet.findings)
    assert (grain == "not drawn") == (sheet.placings == ())

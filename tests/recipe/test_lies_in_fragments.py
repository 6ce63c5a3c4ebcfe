"""Where parts of a fragment lie: its words get the use's name in front, as all its ids do."""

import pytest
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.prefixes import prefixed
from benchbell.recipe.solids.layout import layout
from shipped import RECIPES, shipped_fragments


@pytest.mark.parametrize(
    ("place", "known"),
    [
        ("on rail", "on upper-rail"),
        ("right of side-2 - 2 * inset", "right of upper-side-2 - 2 * upper_inset"),
        ("over width - 3 mm", "over upper_width - 3 mm"),
        ("to front-rail.top - gap", "to upper-front-rail.top - upper_gap"),
    ],
)
def test_names_in_a_place_get_the_uses_name_in_front(place, known):
    assert known == prefixed(place, "place", "upper-")


def test_the_drawers_of_the_bedside_table_lie_each_in_its_opening():
    (recipe,) = (file for file in RECIPES if file.stem == "bedside-table")
    sheet = compile_text(recipe.read_text(encoding="utf-8"), recipe.name, fragments=shipped_fragments())
    laid = {one.name: one for one in layout(sheet.placings, {size.name: size.plan for size in sheet.sizes})}

    assert laid["upper-front"].low[2] == pytest.approx(laid["front-rail-2"].high[2])
    assert laid["lower-front"].low[2] == pytest.approx(laid["front-rail-3"].high[2])
    assert laid["upper-front"].low[1] == pytest.approx(laid["leg-1"].low[1])
    assert laid["upper-side-1"].low[0] == pytest.approx(laid["upper-front"].low[0])

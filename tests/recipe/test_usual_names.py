"""Other names of stations, glues, finishes, clamps and cautions become the usual ones; a stock stays as written."""

import pytest
from benchbell.findings import UnknownName
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.usual_names import of_shop
from small_recipes import FIT, PARTS, glue, operations, sound, work

OTHER = PARTS + work("plane", ["leg", "rail"], 'station = "Thicknesser"\ncaution = ["Push-Stick"]') + FIT
OTHER += glue(', clamps = { "sash clamp" = 1, "heavy F" = 1 }', with_="yellow-glue")
OTHER += work("oil", ["frame"], 'coat = { with = "Hard-Wax-Oil" }')


def test_the_sheet_has_the_usual_names():
    named = operations(OTHER)

    assert named["plane"].station == "planer"
    assert "push-stick" in named["plane"].cautions
    assert (named["glue"].glue, named["glue"].clamps) == ("pva-interior", {"heavy F": 2})
    assert named["oil"].finish == "hardwax-oil"


def test_a_stock_stays_as_the_maker_buys_it():
    assert {part.stock for part in sound(OTHER.replace("white ash", "white oak, overcup")).parts} == {
        "white oak, overcup"
    }


def test_a_shops_clamps_and_labels_have_the_usual_names():
    shop = of_shop(ShopProfile(clamps={"sash clamp": 2, "heavy F": 4}, labels={"PVA": {"open_minutes": 4}}))

    assert (shop.clamps, list(shop.labels)) == ({"heavy F": 6}, ["pva-interior"])


@pytest.mark.parametrize("shop", [ShopProfile(clamps={"sash": 2}), ShopProfile(labels={"pav": {}})])
def test_an_unknown_name_in_a_shop_is_refused(shop):
    with pytest.raises(UnknownName, match=r"Did you mean|Use one of"):
        of_shop(shop)

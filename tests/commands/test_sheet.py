"""The sheet as text: what waits for a measured size, and what is sharpened."""

from benchbell.commands.sheet import sheet_lines
from benchbell.recipe.shop_profile import ShopProfile
from dry_recipe import DRY
from small_recipes import LEGS, TITLE, compiled, work


def lines_of(text):
    """The lines of its sheet, without the space before them."""
    return [line.strip() for line in sheet_lines(compiled(text), ShopProfile())]


def test_the_measuring_says_what_holds_and_what_comes_next_what_it_waits_for():
    lines = lines_of(DRY)

    assert "moisture at most 9 %: what comes after it waits until it is" in lines
    assert lines.count("waits until moisture is at most 9 %") == 1
    assert lines.index("waits until moisture is at most 9 %") > lines.index("2. Cut to length  [A/cut]")


def test_sharpening_is_the_last_thing_of_an_operation_before_its_cautions():
    keys = 'check = ["Smooth."]\nminutes = 20\nsharpen = { edges = ["the iron", "the scraper"], minutes = 10 }'
    lines = lines_of(TITLE + LEGS + work("plane", ["leg"], keys))

    assert lines[lines.index("check: Smooth.") + 1] == "then sharpen the iron, the scraper: 10 min of the time above"
    assert "bench, 30 min attended" in lines

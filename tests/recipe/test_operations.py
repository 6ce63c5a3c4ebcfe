import pytest
from benchbell.trade.cautions import cautions
from small_recipes import FIT, LEGS, PARTS, TITLE, compiled, glue, operations, work

FENCE = """
[[setup]]
id = "fence"
station = "table saw"
minutes = 6
set = { fence = "40 mm" }
prove = "Rip a scrap."
needs = ["rip blade"]
"""


@pytest.mark.parametrize(
    ("keys", "station"),
    [
        ("", "bench"),
        ("dry_fit = true", "assembly table"),
        ('glue = { with = "pva-interior", spread = "3 min" }', "assembly table"),
        ('coat = { with = "shellac" }', "finishing"),
        ('setup = "fence"', "table saw"),
        ('setup = "fence"\nstation = "table saw"', "table saw"),
        ('station = "hand tools"', "hand tools"),
    ],
)
def test_it_is_done_where_such_work_is_usual(keys, station):
    assert operations(PARTS + FENCE + work("do", ["leg"], keys))["do"].station == station


@pytest.mark.parametrize(
    ("keys", "minutes"),
    [
        ("", 0),
        ("minutes = 7", 7),
        ("minutes = { each = 2.5 }", 7.5),
        ("minutes = { fixed = 3, each = 2.5, setup = 4 }", 14.5),
        ('minutes = { each = 2.5 }\nsharpen = { edges = ["iron"], minutes = 10 }', 17.5),
        ('setup = "fence"', 6),
        ('setup = "fence"\nminutes = { each = 1, setup = 2 }', 5),
        ('minutes = 2\nglue = { with = "pva-interior", spread = "4 min" }', 4),
        ('minutes = 20\nglue = { with = "pva-interior", spread = "4 min" }', 20),
    ],
)
def test_attended_minutes_are_fixed_each_and_setting_up_and_never_less_than_the_spread(keys, minutes):
    assert operations(PARTS + FENCE + work("do", ["leg", "rail"], keys))["do"].minutes == minutes


def test_what_is_sharpened_after_it_stands_with_its_minutes():
    keys = 'sharpen = { edges = ["iron", "scraper"], minutes = 10 }'
    plane = operations(PARTS + work("plane", ["leg"], keys))["plane"]

    assert (plane.sharpen, plane.sharpen_minutes) == (("iron", "scraper"), 10)


def test_minutes_for_each_count_once_where_there_are_no_parts():
    assert operations(PARTS + work("mix", [], "minutes = { each = 3 }"))["mix"].minutes == 3


def test_the_kind_of_step_is_told():
    text = PARTS + FIT + glue() + work("oil", ["frame"], 'coat = { with = "shellac" }') + work("look", ["frame"])

    assert [op.step for op in operations(text).values()] == ["dry-fit", "glue-up", "coat", "work"]


def test_a_setups_needs_stand_beside_the_operations_own():
    text = PARTS + FENCE + work("rip", ["leg"], 'setup = "fence"\nneeds = ["push stick"]')

    assert operations(text)["rip"].needs == ("push stick", "rip blade")


def test_the_manual_comes_first_then_the_recipes_own_cautions():
    rip = operations(PARTS + work("rip", ["leg"], 'station = "table saw"\ncaution = ["lifting"]'))["rip"]

    assert rip.cautions[:2] == ("manual-first", "lifting")
    assert set(rip.cautions) > {"guard-riving-knife", "push-stick"}


def test_short_stock_is_warned_of_where_a_part_is_small_for_its_station():
    short = LEGS.replace("420 mm", "280 mm")
    text = TITLE + short + work("plane", ["leg"], 'station = "planer"')

    assert "short-stock" in operations(text)["plane"].cautions


def test_glue_and_finish_bring_their_cautions():
    text = PARTS + FIT + glue(with_="polyurethane") + work("oil", ["frame"], 'coat = { with = "hardwax-oil" }')
    found = operations(text)

    assert "isocyanate" in found["glue"].cautions
    assert "oily-rags" in found["oil"].cautions


def test_the_sheet_carries_the_words_of_every_caution_it_names():
    sheet = compiled(PARTS + FIT + glue(with_="epoxy-slow"))

    assert sheet.cautions == {id: cautions()[id].text for op in sheet.operations for id in op.cautions}


def test_what_to_do_is_a_text_or_a_list_of_steps():
    text = PARTS + work("a", ["leg"]) + work("b", ["rail"]).replace('"Do it."', '["One.", "Two."]')
    found = operations(text)

    assert (found["a"].do, found["b"].do) == (("Do it.",), ("One.", "Two."))


def test_an_operation_stands_on_its_line():
    text = PARTS + work("a", ["leg"])

    assert operations(text)["a"].line == text.count("\n", 0, text.index("[[operation]]")) + 1

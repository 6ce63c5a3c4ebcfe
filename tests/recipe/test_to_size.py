"""Which operation brings which part to which of its sizes."""

from pathlib import Path

import pytest
from benchbell.recipe.compiler import compile_text
from small_recipes import LEGS, RAIL, TITLE, sound, work

ROOT = Path(__file__).parents[2]
SIZES = '[size]\nlong = "340 mm"\nthick = "25 mm"\n'
TEXT = TITLE + SIZES + LEGS + RAIL.replace('"340 mm"', '"long"').replace('"25 mm"', '"thick"')
BED = '\n[[setup]]\nid = "bed"\nstation = "planer"\nset = { bed = "thick" }\nprove = "Plane a scrap."\n'
LEG = work("legs", ["leg"], 'to_size = ["length", "width", "thickness"]')
THICK = work("thick", ["rail"], 'setup = "bed"')
LONG = work("long", ["rail"], 'station = "mitre saw"\nshow = ["long"]')
PLAIN = work("plain", ["rail"])


def made(text, part="rail", pieces=1):
    """What each operation makes of a part, by its name: stage and measures."""
    sheet = sound(text, pieces)
    return {
        op.name: (one.stage, one.measures)
        for op in sheet.operations
        for one in op.to_size
        if one.part == part and op.piece in ("", "A")
    }


def test_an_operation_makes_what_its_setup_is_set_to_and_what_it_shows():
    thick, long = sound(TEXT + BED + LEG + THICK + LONG).operations[1:]

    assert [(one.stage, one.measures) for one in thick.to_size] == [("finished", ("thickness",)), ("told", ("width",))]
    assert [(one.stage, one.measures) for one in long.to_size] == [("finished", ("length",))]


def test_a_key_says_it_better():
    text = TEXT + BED + LEG + THICK.replace('"bed"', '"bed"\nto_size = ["width", "thickness"]') + LONG

    assert made(text) == {"thick": ("finished", ("width", "thickness")), "long": ("finished", ("length",))}


def test_the_first_operation_makes_it_and_a_later_one_only_shows_it():
    again = work("again", ["rail"], 'station = "mitre saw"\nshow = ["long"]')

    assert "again" not in made(TEXT + BED + LEG + THICK + LONG + again)


def test_what_nothing_makes_is_told_where_the_part_is_first_cut():
    saw = work("saw", ["rail"], 'station = "band saw"')

    assert made(TITLE + LEGS + RAIL + LEG + PLAIN + saw) == {"saw": ("told", ("length", "width", "thickness"))}


@pytest.mark.parametrize(
    ("station", "measures"), [("mitre saw", ("length",)), ("band saw", ("width",)), ("table saw", ("length", "width"))]
)
def test_cutting_over_size_tells_the_rough_size(station, measures):
    rough = work("rough", ["rail"], f'station = "{station}"\nrough = true')

    assert made(TEXT + BED + LEG + rough + THICK + LONG)["rough"] == ("rough", measures)


def test_cutting_nothing_over_makes_the_finished_size():
    rough = work("rough", ["rail"], 'station = "mitre saw"\nrough = true')
    text = (TITLE + LEGS + RAIL + LEG + rough + PLAIN).replace(
        'id = "rail"', 'id = "rail"\nover = { length = "0 mm" }', 1
    )

    assert made(text)["rough"] == ("finished", ("length",))


def test_measuring_is_not_cutting():
    text = TEXT.replace('"25 mm"\n', '{ plan = "25 mm", measure = "With a calliper." }\n', 1)
    measure = work("calliper", ["rail"], 'measure = ["thick"]')

    assert "calliper" not in made(text + BED + LEG + measure + THICK + LONG)


@pytest.mark.parametrize("recipe", sorted((ROOT / "recipes").glob("*.toml")), ids=lambda file: file.stem)
def test_every_part_of_a_shipped_recipe_shows_every_size_where_it_is_made(recipe):
    sheet = compile_text(recipe.read_text(encoding="utf-8"), recipe.name)
    shown = {(one.part, measure) for op in sheet.operations for one in op.to_size for measure in one.measures}
    cut = {
        "solid": ("length", "width", "thickness"),
        "sheet": ("length", "width"),
        "veneer": ("length", "width"),
        "other": (),
    }

    assert [
        (row.part, one) for row in sheet.cutting_list for one in cut[row.material] if (row.part, one) not in shown
    ] == []

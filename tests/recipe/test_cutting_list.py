"""The cutting list: counts, finished and rough sizes, thickness as bought, and notes."""

import pytest
from benchbell.recipe.cutting_list import thickness_as_bought
from small_recipes import LEGS, RAIL, TITLE, compiled, sound, work

PLANE = work("plane", ["leg", "rail"])
SIXTEENTH = 25.4 / 16


def rows(text, pieces=1):
    """The rows of its cutting list by part."""
    return {row.part: row for row in sound(text, pieces).cutting_list}


def with_(text, of, line):
    """The text with a line more in the part of that id."""
    return text.replace(f'id = "{of}"\n', f'id = "{of}"\n{line}\n', 1)


def test_a_row_for_each_kind_of_part_with_all_its_copies():
    leg = rows(TITLE + LEGS + RAIL + PLANE, pieces=2)["leg"]

    assert leg.of == ("A/leg-1", "A/leg-2", "B/leg-1", "B/leg-2")
    assert (leg.title, leg.stock, leg.finished_mm) == ("Leg", "white ash", (420, 40, 40))


def test_the_thickest_comes_first():
    assert list(rows(TITLE + RAIL + LEGS + PLANE)) == ["leg", "rail"]


@pytest.mark.parametrize(
    ("units", "rough"),
    # Common practice, no source: an inch over length, a quarter over width; 25 mm and 6 mm.
    [("mm", (445, 46)), ("in", (281 * SIXTEENTH, 30 * SIXTEENTH))],
)
def test_rough_sizes_are_longer_and_wider_by_the_usual(units, rough):
    text = TITLE + f'units = "{units}"\n' + LEGS + RAIL + PLANE

    assert rows(text)["leg"].rough_mm == pytest.approx(rough)


def test_the_recipe_says_how_much_and_a_part_says_it_nearer():
    text = TITLE + 'over = { length = "30 mm", width = "4 mm" }\n' + LEGS + RAIL + PLANE
    text = with_(text, "rail", 'over = { length = "0 mm" }')

    assert rows(text)["leg"].rough_mm == (450, 44)
    assert rows(text)["rail"].rough_mm == (340, 74)


def test_sheet_goods_keep_to_their_own_usual():
    text = TITLE + 'over = { width = "4 mm" }\n' + with_(LEGS, "leg", 'material = "sheet"') + RAIL + PLANE

    assert (rows(text)["leg"].rough_mm, rows(text)["leg"].bought_mm) == ((430, 50), 40)


@pytest.mark.parametrize("over", ["-1 mm", "2 min", "leeg"])
def test_a_wrong_over_is_an_error(over):
    findings = compiled(TITLE + LEGS + with_(RAIL, "rail", f'over = {{ length = "{over}" }}') + PLANE).findings

    assert [(one.grade, one.what.split(":")[0]) for one in findings] == [("error", "Part rail")]


@pytest.mark.parametrize(
    ("mm", "name"),
    # Surfaced thicknesses of hardwood, trade/tables/surfaced.toml: 4/4 gives 13/16 in, 5/4 gives 1 1/16 in.
    [(19.05, "4/4"), (20.6, "4/4"), (20.7, "5/4"), (26.9, "5/4"), (48, "10/4"), (69.8, "12/4")],
)
def test_the_thickness_as_bought_is_the_least_that_is_thick_enough_when_surfaced(mm, name):
    assert thickness_as_bought(mm).name == name


def test_nothing_is_sold_thick_enough():
    assert thickness_as_bought(100) is None
    assert rows(TITLE + LEGS.replace("40 mm", "100 mm") + RAIL + PLANE)["leg"].bought == ""


def test_over_thickness_needs_a_thicker_board():
    text = TITLE + LEGS + RAIL + PLANE

    assert rows(text)["rail"].bought == "5/4"
    assert rows(with_(text, "rail", 'over = { thickness = "3 mm" }'))["rail"].bought == "6/4"


def test_a_size_that_waits_to_be_measured_is_in_the_note():
    sizes = '[size]\nclear = { plan = "300 mm", measure = "It." }\nrail = "clear + 40 mm"\n'
    text = (
        TITLE + sizes + LEGS + RAIL.replace('"340 mm"', '"rail"') + PLANE + work("see", ["leg"], 'measure = ["clear"]')
    )
    text = with_(text, "rail", 'note = "from one board"\nedges = "one long"')

    assert rows(text)["rail"].note == "from one board; one long edge lipped; cut to length only after measuring clear"
    assert rows(text)["leg"].note == ""


@pytest.mark.parametrize(
    ("units", "rough"),
    # Common practice, no source: a leaf stands out 10 mm, or 3/8 in, over its ground all round.
    [("mm", (440, 60)), ("in", (277 * SIXTEENTH, 38 * SIXTEENTH))],
)
def test_a_leaf_of_veneer_is_cut_over_its_ground_all_round_and_comes_after_the_wood(units, rough):
    text = f'{TITLE}units = "{units}"\n' + with_(LEGS, "leg", 'material = "veneer"') + RAIL + PLANE
    found = rows(text.replace('"40 mm", "40 mm"', '"40 mm", "0.6 mm"'))

    assert list(found) == ["rail", "leg"]
    assert found["leg"].rough_mm == pytest.approx(rough)
    assert (found["leg"].bought, found["leg"].bought_mm) == ("", 0.6)

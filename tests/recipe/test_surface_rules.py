"""What a surface must be like before glue or finish goes on. All of it common practice, no source."""

import pytest
from small_recipes import FIT, PARTS, glue, rules, work

PLANE = work("plane", ["leg", "rail"])
OILED = PARTS + PLANE + FIT + work("oil-rail", ["rail"], 'coat = { with = "penetrating-oil" }')


@pytest.mark.parametrize(("finish", "said"), [("penetrating-oil", "glue-on-oil"), ("shellac", "glue-on-finish")])
def test_no_finish_bears_glue(finish, said):
    assert rules(OILED.replace("penetrating-oil", finish) + glue()) == [said]


@pytest.mark.parametrize("said", ["Tape over the joints, then oil.", "Mask the tenons.", "Keep off the shoulders."])
def test_a_coat_that_keeps_off_the_joints_says_so(said):
    taped = OILED.replace(
        'id = "oil-rail"\nparts = ["rail"]\ndo = "Do it."', f'id = "oil-rail"\nparts = ["rail"]\ndo = "{said}"'
    )

    assert rules(taped + glue()) == []


def test_an_oiled_panel_that_stays_loose_is_not_glued():
    assert rules(OILED + glue(keys='makes = "frame"\nacross = "room to move"')) == []


@pytest.mark.parametrize(
    "step", ["Wipe the joints with acetone.", "Wipe with alcohol, then glue at once.", "Methylated spirit."]
)
def test_oily_wood_is_wiped_with_solvent_first(step):
    teak = (PARTS + PLANE + FIT).replace("white ash", "teak")
    wiped = glue(with_="epoxy-slow").replace("Do it.", step)

    assert rules(teak + wiped) == []
    assert rules(teak + wiped.replace(step, "Wipe the squeeze-out off, check with a spirit level.")) == ["oily-wood"]


def test_a_step_before_the_glue_up_may_wipe_it():
    teak = (PARTS + PLANE + FIT).replace("white ash", "teak")
    wipe = work("wipe", ["leg", "rail"]).replace("Do it.", "Wipe the joints with acetone.")

    assert rules(teak + wipe + glue(with_="epoxy-slow")) == []


COAT = PARTS + PLANE + work("oil", ["leg", "rail"], 'coat = { with = "linseed-oil" }')
VARNISH = work("varnish", ["leg", "rail"], 'coat = { with = "waterborne" }')


def test_water_goes_over_oil_only_when_that_is_cured():
    assert rules(COAT + VARNISH) == ["water-over-oil"]
    assert rules(COAT.replace('"linseed-oil"', '"linseed-oil", recoat = "30 d"') + VARNISH) == []


def test_a_wait_in_between_counts():
    assert rules(COAT + work("hang", ["leg", "rail"], 'wait = "30 d"') + VARNISH) == []


def test_shellac_goes_between_oil_and_water():
    assert rules(COAT + work("seal", ["leg", "rail"], 'coat = { with = "shellac" }') + VARNISH) == []


def schedule(*finishes):
    """What is said of legs and rail finished by these, each with its further keys."""
    tables = ", ".join(f"{{ with = {finish} }}" for finish in finishes)
    return rules(PARTS + PLANE + work("finish", ["leg", "rail"], f"coat = [{tables}]"))


def test_in_one_schedule_too_a_finish_goes_only_over_what_bears_it():
    assert schedule('"oil-varnish"', '"lacquer", coats = 2') == ["lacquer-over-oil"]
    assert schedule('"oil-varnish", recoat = "30 d"', '"lacquer", coats = 2') == ["recoat-too-late"]
    assert schedule('"oil-varnish"', '"shellac"', '"lacquer"') == []
    assert schedule('"waterborne"', '"hardwax-oil"') == ["oil-over-film"]
    assert schedule('"waterborne"', '"shellac"', '"hardwax-oil"') == []
    assert schedule('"shellac", coats = 2', '"oil-varnish", coats = 2') == []


def test_an_oil_goes_over_shellac_that_seals_and_not_over_a_film_of_it():
    assert schedule('"shellac", coats = 2', '"hardwax-oil", coats = 2') == []
    assert schedule('"shellac", coats = 6', '"penetrating-oil"') == ["oil-over-film"]
    assert schedule('"shellac", coats = 6', '"oil-varnish", coats = 2') == []
    assert schedule('"waterborne", coats = 2', '"shellac"', '"hardwax-oil"') == ["oil-over-film"]


def test_coats_on_other_faces_and_parts_do_not_add_up_to_a_film():
    both = '"shellac", coats = 2, faces = ["inside", "outside"]'
    legs, rail = (work(f"seal-{part}", [part], 'coat = { with = "shellac", coats = 2 }') for part in ("leg", "rail"))
    oil = work("oil", ["leg", "rail"], 'coat = { with = "hardwax-oil" }')

    assert schedule(both, '"hardwax-oil"') == []
    assert schedule(both.replace("2, faces", "3, faces"), '"hardwax-oil", faces = ["outside"]') == ["oil-over-film"]
    assert rules(PARTS + PLANE + legs + rail + oil) == []


def test_no_film_goes_over_wax_however_cured():
    assert schedule('"hardwax-oil", recoat = "21 d"', '"oil-varnish"') == ["film-over-wax"]
    assert schedule('"hardwax-oil"', '"shellac"', '"oil-varnish"') == []

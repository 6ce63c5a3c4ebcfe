import pytest
from small_recipes import PARTS, rules, work

PLANE = work("plane", ["leg", "rail"])


def coated(coat, keys="", **shop):
    """What is said of legs and rail finished so."""
    return rules(PARTS + PLANE + work("oil", ["leg", "rail"], f"coat = {{ {coat} }}\n{keys}"), **shop)


@pytest.mark.parametrize(("celsius", "said"), [(15, []), (14, ["too-cold"])])
def test_the_least_temperature_is_warm_enough(celsius, said):
    assert coated('with = "hardwax-oil", coats = 3', celsius=celsius) == said


@pytest.mark.parametrize(("humidity", "said"), [(70, []), (71, ["too-damp"])])
def test_the_most_humidity_is_dry_enough(humidity, said):
    assert coated('with = "shellac"', humidity=humidity) == said


@pytest.mark.parametrize(
    ("recoat", "said"),
    [("24 h", []), ("23 h", ["recoat-too-soon"]), ("3 d", []), ("3 d 1 min", ["recoat-too-late"])],
)
def test_a_recoat_written_is_held_against_the_finishs_window(recoat, said):
    # Oil varnish: overnight, 24 h; past 3 days scuff. Common practice; the window's end from memory.
    assert coated(f'with = "oil-varnish", coats = 2, recoat = "{recoat}"') == said


def test_a_wait_for_a_second_coat_of_one_coat_oil_is_taken_from_the_recipe():
    assert coated('with = "hardwax-oil-2", coats = 2, recoat = "1 d"') == []


def test_a_recoat_before_another_operations_coat_is_used():
    later = work("varnish", ["leg", "rail"], 'coat = { with = "waterborne" }')

    assert rules(PARTS + PLANE + work("seal", ["leg"], 'coat = { with = "shellac", recoat = "2 h" }') + later) == []
    assert coated('with = "shellac", recoat = "2 h"') == ["unused"]

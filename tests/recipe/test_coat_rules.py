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


@pytest.mark.parametrize(("wait", "said"), [("2 d", []), ("47 h", ["handled-too-soon"])])
def test_a_wait_after_the_last_coat_is_held_against_the_time_until_it_may_be_handled(wait, said):
    # Hardwax oil: 2 days. Common practice.
    assert coated('with = "hardwax-oil", coats = 2', f'wait = "{wait}"') == said


def test_a_wait_before_a_later_finish_is_held_against_its_window():
    later = work("varnish", ["leg", "rail"], 'coat = { with = "oil-varnish" }')

    for wait, said in (("1 h", []), ("59 min", ["recoat-too-soon"])):
        seal = work("seal", ["leg", "rail"], f'coat = {{ with = "shellac" }}\nwait = "{wait}"')
        assert rules(PARTS + PLANE + seal + later) == said


def test_a_coat_that_is_sanded_first_comes_late_enough():
    assert coated('with = "oil-varnish", coats = 2, sand = "P320", recoat = "9 d"') == []


def test_each_finish_of_a_schedule_is_judged_by_its_own_air():
    text = PARTS + PLANE + work("x", ["leg", "rail"], 'coat = [{ with = "shellac" }, { with = "oil-varnish" }]')

    assert rules(text, celsius=14) == ["too-cold"]
    assert rules(text, celsius=12) == ["too-cold", "too-cold"]


def test_where_choices_may_leave_one_coat_sanding_is_no_warning():
    choice = '\n[choice.coats]\nask = "How many?"\ndefault = 1\nleast = 1\nmost = 3\n'
    oil = work("oil", ["leg", "rail"], 'coat = { with = "shellac", coats = "coats", sand = "P320" }')

    assert rules(PARTS + choice + PLANE + oil) == []

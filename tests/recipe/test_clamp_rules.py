from math import ceil, floor

import pytest
from benchbell.recipe.clamp_rules import CONTACT_PRESSURE, force_text
from benchbell.trade.clamps import clamp_count, clamp_named, pressure_n_per_mm2
from benchbell.trade.glue import glues
from benchbell.trade.species import species_named
from small_recipes import FIT, PARTS, glue, rules, work

READY = PARTS + work("plane", ["leg", "rail"]) + FIT


def edge(clamps, area="340 mm * 25 mm", depth="", with_="pva-interior"):
    """What is said of a glue line 340 mm long under these clamps."""
    far = f', depth = "{depth}"' if depth else ""
    joints = f', joints = [{{ area = "{area}", length = "340 mm"{far} }}], clamps = {{ {clamps} }}'
    return rules(READY + glue(joints, with_=with_))


def usual(kind, depth_mm):
    """Clamps by the trade's own count, and by force with each at the high end of its range."""
    clamp, pressure = clamp_named(kind), pressure_n_per_mm2(species_named("white ash"))
    counted = clamp_count(340, 340 * 25, depth_mm, pressure, clamp)
    return max(counted.by_spacing, -(-counted.force_n // clamp.most_n)), counted.count


@pytest.mark.parametrize("kind", ["light F", "heavy F", "pipe", "parallel jaw"])
def test_as_many_as_are_usual_are_enough_and_one_fewer_is_not(kind):
    least, count = usual(kind, depth_mm=40)

    assert least <= count
    assert edge(f'"{kind}" = {int(least)}') == []
    assert least == 1 or edge(f'"{kind}" = {int(least) - 1}') == ["few-clamps"]


def test_far_from_the_glue_line_their_pressure_spreads():
    assert edge('"heavy F" = 3', depth="20 mm") == ["few-clamps"]
    assert edge('"heavy F" = 3', depth="60 mm") == []


def test_clamps_of_several_kinds_count_together():
    assert edge('"heavy F" = 2, "parallel jaw" = 2') == []


@pytest.mark.parametrize(
    ("newtons", "units", "to", "text"),
    [
        (4595, "in", ceil, "1,100 lbf"),  # 1,033 lbf
        (4595, "in", floor, "1,000 lbf"),
        (4595, "mm", ceil, "4.6 kN"),
        (18_000, "mm", ceil, "18 kN"),
        (9950, "mm", ceil, "10 kN"),
        (250, "mm", floor, "0.25 kN"),
        (1000 * 4.4482216152605, "in", floor, "1,000 lbf"),
        (0, "mm", ceil, "0.00 kN"),
    ],
)
def test_a_force_has_two_figures_on_the_safe_side(newtons, units, to, text):
    assert force_text(newtons, units, to) == text


@pytest.mark.parametrize("name", CONTACT_PRESSURE)
def test_glues_that_want_contact_alone_are_not_held_to_a_force(name):
    assert name in glues()
    assert "few-clamps" not in edge('"light F" = 4', area="340 mm * 250 mm", with_=name)


def test_tenons_hold_themselves():
    joints = ', joints = [{ area = "2 * 30 mm * 60 mm", count = 8 }], clamps = { "light F" = 1 }'

    assert rules(READY + glue(joints)) == []


def test_a_press_takes_no_clamps():
    text = READY + glue(', joints = [{ area = "1 m * 25 mm", length = "1 m" }]')

    assert rules(text + 'station = "press"\n') == []
    assert rules(text) == ["few-clamps"]


@pytest.mark.parametrize("held", ["Rub it together.", "Band clamps.", "Fold up in tape.", "Pinned.", "Drive wedges."])
def test_what_says_how_it_is_held_names_no_clamps(held):
    text = READY + glue(', joints = [{ area = "1 m * 25 mm", length = "1 m" }]')

    assert rules(text + f'check = ["{held}"]\n') == []
    assert rules(text + 'check = ["Of pine, in the drawer."]\n') == ["few-clamps"]


def test_nobody_is_told_of_too_few_before_they_are_counted():
    with_clamps = READY + glue(', clamps = { "heavy F" = 40 }')

    assert rules(with_clamps) == []
    assert rules(with_clamps, clamps={"heavy F": 40}) == []
    assert rules(with_clamps, clamps={"band": 2}) == ["too-few-clamps"]

"""The trade's functions in formulas against the trade's own arithmetic in benchbell.trade."""

import pytest
from benchbell.findings import Refused
from benchbell.recipe.formula import compile_formula, evaluate
from benchbell.recipe.measure import ANGLE, LENGTH
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.trade_functions import ANGLES, WOOD, trade_functions, year_of
from benchbell.trade import angles, movement_gaps
from benchbell.trade.species import species, species_named
from hypothesis import given
from hypothesis import strategies as st

SHOP = ShopProfile(humidity=45, least_humidity=25, most_humidity=75)
FUNCTIONS = trade_functions(SHOP)
YEAR = year_of(SHOP)

sides = st.integers(3, 24)
slopes = st.floats(1, 90)
leans = st.floats(0, 60)
mm = st.floats(1, 3000)
woods = st.sampled_from([name for name, wood in species().items() if wood.shrinkage])
cuts = st.sampled_from(["flat", "quarter", "rift"])


def worth(formula, **sizes):
    """What a formula comes to. sizes: lengths in mm."""
    return evaluate(compile_formula(formula, dict.fromkeys(sizes, LENGTH), FUNCTIONS).postfix, sizes)


@given(sides, slopes)
def test_saw_settings_of_splayed_boxes(n, slope):
    splay = angles.splay(n, slope)

    assert worth(f"mitre_swing({n}, {slope:.9f} deg)") == pytest.approx(splay.swing, abs=1e-6)
    assert worth(f"mitre_tilt({n}, {slope:.9f} deg)") == pytest.approx(splay.mitre_tilt, abs=1e-6)
    assert worth(f"butt_tilt({n}, {slope:.9f} deg)") == pytest.approx(splay.butt_tilt, abs=1e-4)


def test_a_published_splayed_box():
    # Side slope 5 degrees from vertical, 4 sides: gauge 85.02 (90 less the swing), tilt 44.78.
    assert 90 - worth("mitre_swing(4, 85 deg)") == pytest.approx(85.02, abs=0.005)
    assert worth("mitre_tilt(4, 85 deg)") == pytest.approx(44.78, abs=0.005)


@given(st.floats(0, 200), mm)
def test_tapers(offset, length):
    assert worth("taper(offset, length)", offset=offset, length=length) == pytest.approx(angles.taper(offset, length))


@given(mm, st.floats(-80, 80))
def test_slant_heights(height, lean):
    assert worth(f"slant(height, {lean:.9f} deg)", height=height) == pytest.approx(angles.slant_height(height, lean))


@given(mm, leans, leans)
def test_legs_that_lean_two_ways(height, front, side):
    leg = angles.leaning_leg(height, front, side)
    leaning = f"{front:.9f} deg, {side:.9f} deg"

    assert worth(f"leg_length(height, {leaning})", height=height) == pytest.approx(leg.length_mm)
    assert worth(f"leg_lean({leaning})") == pytest.approx(leg.lean, abs=1e-6)


@given(st.floats(0.1, 60), st.floats(0.1, 60))
def test_the_sight_line_of_a_leg(front, side):
    leg = angles.leaning_leg(400, front, side)

    assert worth(f"leg_sight({front:.9f} deg, {side:.9f} deg)") == pytest.approx(leg.sight_line, abs=1e-4)


def test_a_leg_splayed_as_the_table_has_it():
    # Derived from 3-D vectors and cross-checked: 430 mm high, 10 and 6 degrees.
    assert worth("leg_length(430 mm, 10 deg, 6 deg)") == pytest.approx(438.966, abs=0.0005)
    assert worth("leg_lean(10 deg, 6 deg)") == pytest.approx(11.600, abs=0.0005)
    assert worth("leg_sight(10 deg, 6 deg)") == pytest.approx(30.798, abs=0.0005)


@given(woods, cuts, mm)
def test_movement_over_the_shops_year(wood, cut, width):
    change = movement_gaps.change_over(species_named(wood), cut, width, YEAR)
    found = worth(f'movement("{wood}", "{cut}", width)', width=width)

    assert found == pytest.approx(change.narrower_mm + change.wider_mm)
    assert worth(f'swelling("{wood}", "{cut}", width)', width=width) == pytest.approx(change.wider_mm)


@given(woods, cuts, mm)
def test_slots_for_screws(wood, cut, from_fixed):
    found = worth(f'slot("{wood}", "{cut}", from_fixed, 4.5 mm)', from_fixed=from_fixed)

    assert found == pytest.approx(movement_gaps.slot(species_named(wood), cut, from_fixed, 4.5, YEAR).length_mm)


@given(woods, cuts, mm)
def test_panels_in_grooves(wood, cut, width):
    panel = movement_gaps.panel_play(species_named(wood), cut, width, YEAR)

    assert worth(f'panel_gap("{wood}", "{cut}", width)', width=width) == pytest.approx(panel.gap_mm)
    assert worth(f'panel_groove("{wood}", "{cut}", width)', width=width) == pytest.approx(panel.groove_mm)


@given(woods, cuts, mm)
def test_drawers_in_openings(wood, cut, height):
    found = worth(f'drawer_gap("{wood}", "{cut}", height)', height=height)

    assert found == pytest.approx(movement_gaps.drawer_clearance_mm(species_named(wood), cut, height, YEAR))


def test_a_shop_with_steadier_air_needs_less_room():
    steady = trade_functions(ShopProfile(humidity=45, least_humidity=40, most_humidity=50))
    text = 'movement("white oak", "flat", 500 mm)'

    assert evaluate(compile_formula(text, {}, steady).postfix, {}) < worth(text)


@pytest.mark.parametrize("name", sorted(ANGLES | WOOD))
def test_each_function_says_what_it_is_to_be_given(name):
    with pytest.raises(Refused) as refusal:
        worth(f"{name}(1)")

    assert name in refusal.value.what
    assert refusal.value.next_step.startswith(("Give it ", "Write "))


def test_arguments_of_the_wrong_kind_are_named():
    with pytest.raises(Refused, match=r"taper: length is an angle\. Give a length"):
        worth("taper(20 mm, 3 deg)")


def test_the_kind_of_the_answer_is_known():
    assert compile_formula("taper(20 mm, 600 mm)", {}, FUNCTIONS).dim == ANGLE
    assert compile_formula('slot("teak", "flat", 300 mm, 5 mm)', {}, FUNCTIONS).dim == LENGTH

import pytest
from benchbell.findings import OutsideValidity
from benchbell.trade.species import species, species_named
from benchbell.trade.wood import emc_percent, movement_by_shrinkage_mm, movement_mm
from hypothesis import given
from hypothesis import strategies as st

# Wood Handbook, FPL-GTR-190, Table 4-2: temperature in °F, relative humidity in %, moisture content in %.
# fmt: off
TABLE_4_2 = [
    (30, 40, 7.9), (30, 65, 12.4), (40, 30, 6.3), (40, 50, 9.5), (40, 80, 16.5), (50, 35, 7.1),
    (50, 50, 9.5), (50, 65, 12.3), (50, 85, 18.4), (60, 30, 6.2), (60, 40, 7.8), (60, 50, 9.4),
    (60, 65, 12.1), (60, 75, 14.6), (70, 10, 2.5), (70, 25, 5.4), (70, 30, 6.2), (70, 35, 6.9),
    (70, 40, 7.7), (70, 45, 8.5), (70, 50, 9.2), (70, 60, 11.0), (70, 65, 12.0), (70, 70, 13.1),
    (70, 80, 16.0), (70, 90, 20.5), (80, 35, 6.8), (80, 50, 9.1), (80, 65, 11.7), (80, 75, 14.2),
    (90, 40, 7.4), (90, 50, 8.9), (90, 70, 12.6), (100, 35, 6.5), (100, 60, 10.3),
]
# fmt: on

woods = st.sampled_from(list(species().values()))
moved = st.sampled_from([wood for wood in species().values() if wood.shrinkage])
cuts = st.sampled_from(["flat", "quarter", "rift"])


@pytest.mark.parametrize(("fahrenheit", "humidity", "percent"), TABLE_4_2)
def test_moisture_content_is_the_handbooks(fahrenheit, humidity, percent):
    assert emc_percent((fahrenheit - 32) / 1.8, humidity) == pytest.approx(percent, abs=0.1)


# Computed in Celsius from eq. 4-5 and held against the Fahrenheit form of the same equation.
@pytest.mark.parametrize(
    ("celsius", "humidity", "percent"),
    [(20, 50, 9.271), (20, 65, 11.996), (25, 60, 10.832), (15, 45, 8.586), (0, 70, 13.550), (30, 80, 15.548)],
)
def test_moisture_content_in_celsius(celsius, humidity, percent):
    assert emc_percent(celsius, humidity) == pytest.approx(percent, abs=0.0006)


def test_the_celsius_and_fahrenheit_forms_of_the_equation_agree():
    # Wood Handbook, FPL-GTR-190, eq. 4-5 in Fahrenheit, coefficients from memory; 140 °F, h = 0.55 gives 8.4 %.
    f, h = 70.0, 0.5
    w = 330 + 0.452 * f + 0.00415 * f**2
    k = 0.791 + 0.000463 * f - 0.000000844 * f**2
    k1 = 6.34 + 0.000775 * f - 0.0000935 * f**2
    k2 = 1.09 + 0.0284 * f - 0.0000904 * f**2
    x = k * h
    percent = 1800 / w * (x / (1 - x) + (k1 * x + 2 * k1 * k2 * x * x) / (1 + k1 * x + k1 * k2 * x * x))

    assert emc_percent((f - 32) / 1.8, 50) == pytest.approx(percent, abs=0.01)


@given(st.floats(-1, 54), st.floats(5, 94))
def test_damper_air_makes_damper_wood(celsius, humidity):
    assert emc_percent(celsius, humidity) < emc_percent(celsius, humidity + 1)


@pytest.mark.parametrize(("celsius", "humidity"), [(-5, 50), (60, 50), (20, 4), (20, 96), (float("nan"), 50)])
def test_beyond_the_table_there_is_no_moisture_content(celsius, humidity):
    with pytest.raises(OutsideValidity, match=r"where the moisture equation holds. Read the .* again, or measure"):
        emc_percent(celsius, humidity)


# Wood Handbook, FPL-GTR-190, ch. 4: ovendry wood has no water; 30 % is the assumed start of shrinkage.
@pytest.mark.parametrize(("humidity", "percent"), [(0, 0), (100, 30)])
def test_at_the_ends_of_the_scale_wood_is_bone_dry_or_saturated(humidity, percent):
    assert emc_percent(20, humidity) == percent


# Eq. 13-2 with Table 13-5, by hand; white fir is the handbook's own worked example.
@pytest.mark.parametrize(
    ("name", "cut", "width_mm", "was", "becomes", "expected"),
    [
        ("white fir", "flat", 232, 8, 11, 1.705),
        ("black cherry", "flat", 150, 6, 9, 1.116),
        ("white oak", "flat", 500, 12, 7, -9.125),
        ("sugar maple", "quarter", 600, 8, 11, 2.970),
    ],
)
def test_movement_is_as_the_handbook_reckons(name, cut, width_mm, was, becomes, expected):
    assert movement_mm(species_named(name), cut, width_mm, was, becomes) == pytest.approx(expected, abs=0.0006)


# Flooring trade press, in inches: white oak 5 in from 6 to 9 %; red oak the same, and over 4.8 points.
@pytest.mark.parametrize(
    ("name", "was", "becomes", "inches", "within"),
    [("white oak", 6, 9, 0.055, 0.0005), ("red oak", 6, 9, 0.055, 0.0005), ("red oak", 6, 10.8, 0.08856, 0.000005)],
)
def test_movement_is_as_the_flooring_trade_reckons(name, was, becomes, inches, within):
    assert movement_mm(species_named(name), "flat", 5 * 25.4, was, becomes) / 25.4 == pytest.approx(inches, abs=within)


# Eq. 13-3 by hand, its form from memory: shrinkage green to ovendry in percent.
@pytest.mark.parametrize(
    ("shrinkage", "width_mm", "was", "becomes", "expected"),
    [
        (10.3, 300, 19, 7, -12.845),
        (5.5, 200, 12, 18, 2.275),
        (7.1, 300, 20, 8, -8.727),
        (4.6, 200, 5, 16, 3.508),
    ],
)
def test_beyond_6_to_14_percent_the_shrinkage_counts(shrinkage, width_mm, was, becomes, expected):
    assert movement_by_shrinkage_mm(shrinkage, width_mm, was, becomes) == pytest.approx(expected, abs=0.0006)


def test_the_equation_is_chosen_by_the_moisture_contents():
    # Tables 13-5 and 4-3: walnut, radial coefficient 0.00190 and shrinkage 5.5 %.
    walnut = species_named("black walnut")

    assert movement_mm(walnut, "quarter", 200, 6, 14) == pytest.approx(200 * 0.00190 * 8)
    # By hand: 200 x 0.00190 x 2 = 0.76 up to 14 %, and from there 200.76 x 4 / (3000/5.5 - 30 + 14) = 1.5167.
    assert movement_mm(walnut, "quarter", 200, 12, 18) == pytest.approx(0.76 + 1.5167, abs=0.0002)


# The two equations disagree where they meet; joined, nothing jumps and nothing turns back. Mahogany by hand:
# 300 x 0.00238 x 6 = 4.284; then 304.284 x 1 / (3000/4.1 - 30 + 14) = 0.425.
def test_a_change_across_14_percent_is_reckoned_in_two_stretches():
    mahogany = species_named("mahogany")

    assert movement_mm(mahogany, "flat", 300, 8, 14) == pytest.approx(4.284)
    assert movement_mm(mahogany, "flat", 300, 8, 15) == pytest.approx(4.284 + 0.425, abs=0.001)


@given(moved, cuts, st.floats(0, 2000), st.floats(0, 30), st.floats(0, 30), st.floats(0, 30))
def test_more_moisture_never_means_less_movement(wood, cut, width_mm, was, one, other):
    less, more = sorted((one, other))

    assert movement_mm(wood, cut, width_mm, was, less) <= movement_mm(wood, cut, width_mm, was, more) + 1e-9


@given(moved, cuts, st.floats(0, 30), st.floats(0, 29.999))
def test_movement_does_not_jump(wood, cut, was, becomes):
    # No wood of the table moves by more than 1 % of its width for 1 % of moisture.
    step = 0.001
    here, there = (movement_mm(wood, cut, 1000, was, percent) for percent in (becomes, becomes + step))

    assert abs(there - here) <= 1000 * 0.01 * step


def test_a_width_below_zero_is_refused():
    with pytest.raises(OutsideValidity, match=r"A board cannot be -5 mm wide. Give a width of zero or more."):
        movement_mm(species_named("white oak"), "flat", -5, 8, 10)


@given(moved, cuts, st.floats(1, 2000), st.floats(0, 30), st.floats(0, 30))
def test_a_board_that_comes_back_to_its_moisture_comes_back_to_its_size(wood, cut, width_mm, was, becomes):
    # Through eq. 13-3 exactly; eq. 13-2 forgets second order, which over 8 points is under 4 % of 4 %.
    there = movement_mm(wood, cut, width_mm, was, becomes)
    back = movement_mm(wood, cut, width_mm + there, becomes, was)

    assert there + back == pytest.approx(0, abs=0.0025 * width_mm)


@given(woods, st.floats(1, 2000))
def test_rift_moves_in_between(wood, width_mm):
    quarter, rift, flat = (movement_mm(wood, cut, width_mm, 7, 12) for cut in ("quarter", "rift", "flat"))

    assert quarter < rift < flat


@pytest.mark.parametrize("percent", [-0.1, 30.1, float("nan")])
def test_wetter_than_fibre_saturation_wood_does_not_move(percent):
    with pytest.raises(OutsideValidity, match=r"is outside 0 to 30 %, where wood swells and shrinks. Measure again"):
        movement_mm(species_named("white oak"), "flat", 100, percent, 8)

import pytest
from benchbell.findings import OutsideValidity, UnknownName
from benchbell.trade.timber import (
    board_feet,
    bought_mm,
    cubic_metres,
    hardwood_board_feet,
    lumber_named,
    resawn_mm,
    surface_measure,
    surfaced_named,
    surfaced_sizes,
)
from hypothesis import given
from hypothesis import strategies as st
from pint import UnitRegistry

INCH, FOOT = 25.4, 304.8
UNITS = UnitRegistry()


def test_a_board_foot_is_144_cubic_inches():
    # 1 in x 12 in x 12 in, 0.002359737 m3.
    assert board_feet(INCH, FOOT, FOOT) == pytest.approx(1)
    assert cubic_metres(INCH, FOOT, FOOT) == pytest.approx(0.002359737, abs=5e-10)


@given(st.floats(5, 100), st.floats(20, 600), st.floats(100, 5000))
def test_board_feet_are_those_of_a_library_of_units(thickness, width, length):
    volume = (thickness * width * length * UNITS.mm**3).to(UNITS.board_foot).magnitude

    assert board_feet(thickness, width, length) == pytest.approx(volume)


# Measuring guides for hardwood by the NHLA rules: width in inches, length in feet, surface measure.
@pytest.mark.parametrize(
    ("width_in", "length_ft", "measure"), [(6.25, 8, 4), (6.5, 8, 4), (8, 12, 8), (5.25, 8.5, 4), (6.75, 8, 5)]
)
def test_surface_measure_is_rounded_to_whole_feet(width_in, length_ft, measure):
    # The last two by hand: 5.25 x 8 / 12 = 3.5, a half goes up; 6.75 x 8 / 12 = 4.5.
    assert surface_measure(width_in * INCH, length_ft * FOOT) == measure


def test_hardwood_is_sold_by_surface_measure_times_thickness():
    # The same guides: 2 in x 6-1/4 in x 8 ft is 8 board feet; its plain volume is 8.33.
    assert hardwood_board_feet(2 * INCH, 6.25 * INCH, 8 * FOOT) == pytest.approx(8)
    assert board_feet(2 * INCH, 6.25 * INCH, 8 * FOOT) == pytest.approx(8.33, abs=0.005)


def test_under_an_inch_counts_as_an_inch():
    assert hardwood_board_feet(0.5 * INCH, 6.25 * INCH, 8 * FOOT) == pytest.approx(4)


def test_surfaced_sizes():
    # PS 20: nominal 2 x 4 is 1-1/2 by 3-1/2 in dry. NHLA, from memory: 4/4 is 13/16 in.
    assert surfaced_named("softwood dimension 2").dry_in == 1.5
    assert surfaced_named("softwood width 4").dry_in == 3.5
    assert surfaced_named("hardwood 4/4").dry_in == 13 / 16


# American Softwood Lumber Standard, PS 20, in inches: dry thickness and width of common sticks; 5/4, 5, 6 and 14 from
# memory, the others as read.
@pytest.mark.parametrize(
    ("name", "sizes"),
    [
        ("2x3", [1.5, 2.5]),
        ("2x4", [1.5, 3.5]),
        ("2 × 6", [1.5, 5.5]),
        ("softwood 2x8", [1.5, 7.25]),
        ("2x10", [1.5, 9.25]),
        ("2X12", [1.5, 11.25]),
        ("1x6", [0.75, 5.5]),
        ("5/4x6", [1, 5.5]),
        ("4x4", [3.5, 3.5]),
        ("1x5", [0.75, 4.5]),
        ("2x14", [1.5, 13.25]),
        ("softwood 5/4", [1]),
        ("hardwood 5/4", [1.0625]),
    ],
)
def test_a_stick_of_lumber_is_known_by_its_usual_name(name, sizes):
    assert [row.dry_in for row in lumber_named(name)] == sizes


@pytest.mark.parametrize("name", ["2x5000", "17x4", "9x9", "two by four", ""])
def test_a_stick_that_nobody_sells_is_answered_with_those_that_are(name):
    with pytest.raises(UnknownName, match=r"Use one of: |Did you mean "):
        lumber_named(name)


# NHLA, from memory: rough thicknesses and what surfacing leaves of them, in inches.
@pytest.mark.parametrize(
    ("part_in", "board_in"),
    [(0.25, 1), (0.75, 1), (13 / 16, 1), (0.875, 1.25), (1.5, 2), (1.75, 2), (2.5, 3), (3.5, 4)],
)
def test_a_part_is_planed_from_the_next_board_that_is_sold(part_in, board_in):
    assert bought_mm(part_in * INCH) == pytest.approx(board_in * INCH)


@given(st.floats(0.5, 200))
def test_resawing_never_takes_more_and_leaves_enough_for_the_part(thickness):
    assert thickness - 0.05 < resawn_mm(thickness) <= bought_mm(thickness)


@pytest.mark.parametrize("row", surfaced_sizes().values(), ids=lambda row: row.id)
def test_surfacing_takes_something_off(row):
    assert row.dry_in < row.nominal_in
    assert row.green_in is None or row.dry_in < row.green_in < row.nominal_in


@pytest.mark.parametrize("sizes", [(0, 100, 100), (20, -1, 100), (20, 100, float("nan"))])
def test_a_board_of_no_size_is_refused(sizes):
    with pytest.raises(OutsideValidity, match=r"mm, not above 0. Give every size above 0"):
        board_feet(*sizes)


def test_an_unknown_size_is_answered_with_the_nearest():
    with pytest.raises(UnknownName, match=r"Did you mean hardwood 4/4"):
        surfaced_named("hardwod 4/4")

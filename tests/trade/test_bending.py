import pytest
from benchbell.trade.bending import bending_of, bendings, least_radius_mm, steam_minutes
from benchbell.trade.species import species


def test_every_wood_of_the_table_is_a_wood_and_stands_there_once():
    woods = [wood for row in bendings().values() for wood in row.woods]

    assert set(woods) <= set(species())
    assert len(woods) == len(set(woods))


def test_a_strap_always_lets_wood_bend_further():
    assert [row.id for row in bendings().values() if row.strap_mm >= row.free_mm] == []


@pytest.mark.parametrize(
    ("stock", "free", "strap", "poor"),
    # By the table for 25 mm; another wood bends as good ones do, in a strap to five times its thickness.
    [
        ("European ash", 300, 64, False),
        ("beech, European", 330, 38, False),
        ("cherry", 325, 125, False),
        ("some wood", 325, 125, False),
        ("Scots pine", 840, 460, True),
        ("iroko", 710, 300, True),
    ],
)
def test_how_far_a_stock_bends(stock, free, strap, poor):
    row = bending_of(stock)

    assert (row.free_mm, row.strap_mm, bool(row.poor)) == (free, strap, poor)


@pytest.mark.parametrize(("mm", "strap", "radius"), [(25, False, 300), (50, False, 600), (12.5, True, 32)])
def test_a_thicker_piece_wants_a_larger_radius(mm, strap, radius):
    assert least_radius_mm(bending_of("European ash"), mm, strap) == pytest.approx(radius)


@pytest.mark.parametrize(
    ("mm", "kiln", "minutes"), [(25, False, 60), (12.5, False, 30), (25, True, 75), (40, True, 120)]
)
def test_it_steams_by_its_thickness(mm, kiln, minutes):
    # An hour for 25 mm; of dry wood 30 min for each cm.
    assert steam_minutes(mm, kiln) == pytest.approx(minutes)

from typing import get_args

import pytest
from benchbell.trade.pressings import Press, pressings

# 1 in of mercury is 25.4 mm × 13.5951 × 9.80665 Pa; the standard atmosphere is 101 325 Pa. 1 psi = 6894.757 Pa.
INCH_OF_MERCURY = 25.4 * 13.5951 * 9.80665
PSI = 6894.757


def test_every_word_for_pressing_has_its_row():
    assert set(pressings()) == set(get_args(Press))


def test_a_vacuum_bag_gives_what_25_inches_of_mercury_leave_of_the_air():
    gives = pressings()["vacuum"].gives_n_per_mm2

    assert gives * 1e6 == pytest.approx(25 * INCH_OF_MERCURY, rel=0.01)
    assert gives * 1e6 < 101_325


def test_cauls_press_with_15_psi_at_least():
    assert pressings()["cauls"].needs_n_per_mm2 * 1e6 / PSI == pytest.approx(15, rel=0.05)

"""Which faces are mitres, and how two of them close, worked by hand."""

from math import sqrt

import pytest
from benchbell.recipe.solids.contacts import contacts
from benchbell.recipe.solids.mitres import fit, mitres_of, stands_in_corner
from benchbell.recipe.solids.solid import box, cut, moved
from recipe_parts import laid


def board(low, high, *planes, grain=0, by=(0.0, 0.0, 0.0)):
    """A board with what lies before planes cut off; a plane: two legs of a corner and its point, in the xz plane."""
    solid = box(low, high)
    for (a, b), (x, z) in planes:
        size = sqrt(a * a + b * b)
        solid = cut(solid, (a / size, 0.0, b / size), (a * x + b * z) / size)
    return laid((moved(solid, lambda p: tuple(m + n for m, n in zip(p, by, strict=True))),), grain, "board")


def side(legs=(1, 1)):
    """An upright board at the left, mitred from its upper outer edge inwards and down."""
    return board((0.0, 0.0, 0.0), (20.0, 100.0, 300.0), (legs, (0, 300)), grain=2)


def top(legs=(-1, -1), by=(0.0, 0.0, 0.0)):
    """A level board on its corner, mitred to meet it."""
    return board((0.0, 0.0, 280.0), (400.0, 100.0, 300.0), (legs, (0, 300)), by=by)


def test_a_mitre_goes_right_through():
    (mitre,) = mitres_of(side())

    assert (0, 2) == (mitre.through, mitre.along)
    assert [] == list(mitres_of(board((0.0, 0.0, 0.0), (20.0, 100.0, 300.0), ((1, 1), (10, 300)), grain=2)))
    assert [] == list(mitres_of(board((0.0, 0.0, 0.0), (20.0, 100.0, 300.0), ((4, 1), (0, 300)), grain=2)))


def test_a_mitre_of_half_the_corner_closes():
    (mitre,) = mitres_of(side())
    found = fit(mitre, top())

    assert (0, 0) == pytest.approx((found.least, found.most))


def test_mitres_apart_stand_open_by_the_share_square_to_them():
    # By hand: 2 mm to the right are 2 / √2 square to a face at 45°.
    (mitre,) = mitres_of(side())
    found = fit(mitre, top(by=(2.0, 0.0, 0.0)))

    assert (2 / sqrt(2), 2 / sqrt(2)) == pytest.approx((found.least, found.most))


def test_mitres_of_other_angles_leave_a_wedge():
    # By hand: the top is cut back 24 mm over its thickness of 20, so its lower corner lies 4 / √2 before the mitre, but
    # 44 / √2 along it, which is longer than the mitre's 40 / √2: there it stands 40 / 44 of that open.
    (mitre,) = mitres_of(side())
    found = fit(mitre, top(legs=(-20, -24)))

    assert (0, 40 / 44 * 4 / sqrt(2)) == pytest.approx((found.least, found.most))


def test_what_is_square_stands_in_the_corner_and_what_goes_on_does_not():
    part = side()
    (mitre,) = mitres_of(part)
    square, longer = board((0.0, 0.0, 280.0), (400.0, 100.0, 300.0)), board((-50.0, 0.0, 280.0), (400.0, 100.0, 300.0))
    for other, stands in ((square, True), (longer, False)):
        (found,) = contacts([part, other])

        assert fit(mitre, other) is None
        assert stands == stands_in_corner(mitre, part, other, found)

"""Convex solids against volumes and widths worked by hand."""

from math import sqrt

import pytest
from benchbell.recipe.solids.solid import box, cut, moved, prism, shared, thickness, volume
from hypothesis import given
from hypothesis import strategies as st

CUBE = box((0.0, 0.0, 0.0), (10.0, 10.0, 10.0))

lengths = st.floats(5, 200)
positions = st.floats(-100, 100)


@st.composite
def solids(draw):
    """A box somewhere, with an edge off, turned a little out of the upright."""
    sizes = [draw(lengths) for _ in range(3)]
    plain = box((0.0, 0.0, 0.0), tuple(sizes))
    share, lean = draw(st.floats(0.1, 0.9)), draw(st.sampled_from([0.0, 0.1, -0.4]))
    normal = (
        1 / sizes[0] / sqrt(sizes[0] ** -2 + sizes[2] ** -2),
        0.0,
        1 / sizes[2] / sqrt(sizes[0] ** -2 + sizes[2] ** -2),
    )
    tapered = cut(plain, normal, (1 + share) / sqrt(sizes[0] ** -2 + sizes[2] ** -2)) if draw(st.booleans()) else plain
    x, y, z = (draw(positions) for _ in range(3))
    return moved(tapered, lambda p: (p[0] + lean * p[2] + x, p[1] + y, p[2] + z))


def test_a_box_is_as_large_as_its_sides():
    assert 10 * 20 * 30 == pytest.approx(volume(box((0.0, 0.0, 0.0), (10.0, 20.0, 30.0))))


def test_a_cube_cut_through_three_corners_loses_a_sixth():
    # A corner tetrahedron of a unit cube has a volume of 1/6.
    rest = cut(CUBE, (1 / sqrt(3),) * 3, 20 / sqrt(3))

    assert 1000 * 5 / 6 == pytest.approx(volume(rest))


def test_a_plane_that_misses_changes_nothing_and_one_before_it_leaves_nothing():
    assert CUBE is cut(CUBE, (1.0, 0.0, 0.0), 10.0)
    assert cut(CUBE, (1.0, 0.0, 0.0), 0.0) is None


def test_a_regular_prism_has_the_area_of_its_polygon():
    # Six equilateral triangles of side 10: 6 * 10² * √3 / 4.
    hexagon = [
        (10.0, 0.0),
        (5.0, 5 * sqrt(3)),
        (-5.0, 5 * sqrt(3)),
        (-10.0, 0.0),
        (-5.0, -5 * sqrt(3)),
        (5.0, -5 * sqrt(3)),
    ]

    assert 150 * sqrt(3) * 7 == pytest.approx(volume(prism(hexagon, hexagon, 0.0, 7.0)))
    assert 7 == pytest.approx(thickness(prism(hexagon, hexagon, 0.0, 7.0)))


def test_mirroring_turns_no_face_inside_out():
    wedge = cut(CUBE, (1 / sqrt(2), 0.0, 1 / sqrt(2)), 15 / sqrt(2))

    assert volume(wedge) == pytest.approx(volume(moved(wedge, lambda p: (-p[0], p[1], p[2]))))


def test_boxes_share_what_their_sides_share():
    other = box((6.0, -5.0, 2.0), (20.0, 5.0, 4.0))
    found = shared(CUBE, other)

    assert ((6.0, 0.0, 2.0), (10.0, 5.0, 4.0)) == (found.low, found.high)
    assert shared(CUBE, box((10.0, 0.0, 0.0), (20.0, 10.0, 10.0))) is None


@given(solids(), solids())
def test_overlap_is_symmetric(a, b):
    one, other = shared(a, b), shared(b, a)
    sizes = [volume(found) if found else 0.0 for found in (one, other)]

    assert sizes[0] == pytest.approx(sizes[1], rel=1e-6, abs=1e-3)
    assert (thickness(one) if one else 0.0) == pytest.approx(thickness(other) if other else 0.0, abs=1e-4)


@given(solids(), solids())
def test_what_two_share_is_no_larger_than_either(a, b):
    found = shared(a, b)

    assert found is None or volume(found) <= min(volume(a), volume(b)) * (1 + 1e-9)
    assert volume(a) == pytest.approx(volume(shared(a, a)))

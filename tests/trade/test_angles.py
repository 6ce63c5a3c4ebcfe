import numpy as np
import pytest
from benchbell.findings import OutsideValidity
from benchbell.trade.angles import leaning_leg, slant_height, splay, taper
from hypothesis import given
from hypothesis import strategies as st

# Computed from 3-D vectors for a published pair of formulae (swing and mitre tilt): sides, lean from vertical, swing,
# mitre tilt, butt tilt, dihedral.
# fmt: off
SPLAYED = [
    (4, 0, 0.000, 45.000, 0.000, 90.000), (4, 5, 4.981, 44.782, 0.435, 90.435), (4, 8, 7.923, 44.445, 1.110, 91.110),
    (4, 10, 9.851, 44.136, 1.728, 91.728), (4, 12, 11.745, 43.761, 2.478, 92.478),
    (4, 15, 14.511, 43.080, 3.841, 93.841), (4, 20, 18.882, 41.641, 6.718, 96.718),
    (4, 25, 22.910, 39.856, 10.289, 100.289), (4, 30, 26.565, 37.761, 14.478, 104.478),
    (4, 35, 29.838, 35.396, 19.207, 109.207), (4, 40, 32.732, 32.798, 24.404, 114.404),
    (4, 45, 35.264, 30.000, 30.000, 120.000), (3, 10, 16.740, 58.525, -27.050, 62.950),
    (5, 10, 7.191, 35.370, 19.260, 109.260), (6, 10, 5.725, 29.499, 31.003, 121.003),
    (6, 20, 11.170, 28.024, 33.951, 123.951), (8, 10, 4.114, 22.140, 45.720, 135.720),
    (8, 15, 6.119, 21.694, 46.613, 136.613),
]
# fmt: on
sides = st.integers(3, 24)
slopes = st.floats(5, 90)


@pytest.mark.parametrize(("n", "lean", "swing", "mitre", "butt", "dihedral"), SPLAYED)
def test_splayed_box(n, lean, swing, mitre, butt, dihedral):
    found = splay(n, 90 - lean)

    assert (found.swing, found.mitre_tilt, found.butt_tilt, found.dihedral) == pytest.approx(
        (swing, mitre, butt, dihedral), abs=0.0006
    )


# Tables for crown moulding, from memory: wall slope 52 and 45 degrees, four walls.
@pytest.mark.parametrize(("slope", "swing", "tilt"), [(52, 31.62, 33.86), (45, 35.26, 30.00)])
def test_four_sides_at_the_slopes_of_crown_moulding(slope, swing, tilt):
    found = splay(4, slope)

    assert (found.swing, found.mitre_tilt) == pytest.approx((swing, tilt), abs=0.006)


def test_four_sides_sloping_5_degrees_as_a_shop_guide_has_it():
    # A published shop guide: gauge 85 on a scale where 0 is parallel to the blade, tilt 44.75.
    found = splay(4, 85)

    assert 90 - found.swing == pytest.approx(85, abs=0.05)
    assert found.mitre_tilt == pytest.approx(44.75, abs=0.05)


def box_side(n, slope, k):
    """A side of the box by vectors: its outward normal, and the unit vector up its face."""
    turn, beta = np.radians(360 / n * k), np.radians(slope)
    out = np.array([np.cos(turn), np.sin(turn), 0])
    up = np.array([0, 0, 1])
    along = np.cross(up, out)
    face_up = np.cos(beta) * out + np.sin(beta) * up
    return np.cross(along, face_up), face_up


def degrees_between(one, other):
    return np.degrees(np.arccos(np.clip(one @ other / np.linalg.norm(one) / np.linalg.norm(other), -1, 1)))


@given(sides, slopes)
def test_the_settings_follow_from_the_faces_normals_and_their_meeting_line(n, slope):
    # Independent of the formulae: two neighbouring faces, the line where they meet, the plane that halves them.
    (normal, face_up), (next_normal, _) = box_side(n, slope, 0), box_side(n, slope, 1)
    meeting = np.cross(normal, next_normal)
    swing = min(degrees_between(meeting, face_up), degrees_between(-meeting, face_up))
    dihedral = 180 - degrees_between(normal, next_normal)
    found = splay(n, slope)

    assert found.swing == pytest.approx(swing, abs=1e-4)
    assert found.dihedral == pytest.approx(dihedral, abs=1e-4)
    assert found.mitre_tilt == pytest.approx(90 - dihedral / 2, abs=1e-4)
    assert found.butt_tilt == pytest.approx(dihedral - 90, abs=1e-4)


@pytest.mark.parametrize(("n", "slope"), [(2, 90), (4, 0), (4, 90.1), (4, float("nan")), (361, 45)])
def test_what_is_no_box_is_refused(n, slope):
    with pytest.raises(OutsideValidity):
        splay(n, slope)


# By hand: the angle whose tangent is offset over length.
@pytest.mark.parametrize(
    ("offset", "length", "angle"), [(20, 600, 1.909), (19, 650, 1.674), (12.7, 457.2, 1.591), (25, 700, 2.045)]
)
def test_taper(offset, length, angle):
    assert taper(offset, length) == pytest.approx(angle, abs=0.0006)


def test_a_taper_over_no_length_is_refused():
    with pytest.raises(OutsideValidity, match=r"A taper of 20 over 0 is not a taper. Give a length above zero"):
        taper(20, 0)


# Derived from vectors: height, front, side, lean, sight line, length, foot offsets.
@pytest.mark.parametrize(
    ("height", "front", "side", "lean", "sight", "length", "front_mm", "side_mm"),
    [
        (430, 10, 6, 11.600, 30.798, 438.966, 75.821, 45.195),
        (720, 5, 5, 7.053, 45.000, 725.490, 62.992, 62.992),
        (720, 8, 0, 8.000, 0.000, 727.076, 101.189, 0),
        (450, 15, 7, 16.422, 24.619, 469.139, 120.577, 55.253),
    ],
)
def test_a_leg_splayed_two_ways(height, front, side, lean, sight, length, front_mm, side_mm):
    found = leaning_leg(height, front, side)

    assert (found.lean, found.sight_line) == pytest.approx((lean, sight), abs=0.0006)
    assert (found.length_mm, found.front_mm, found.side_mm) == pytest.approx((length, front_mm, side_mm), abs=0.0006)


@given(st.floats(100, 900), st.floats(-30, 30), st.floats(-30, 30))
def test_a_leg_reaches_from_top_to_foot(height, front, side):
    # Independent of the formulae: the leg is the space diagonal of its offsets and its height.
    found = leaning_leg(height, front, side)
    leg = np.array([found.front_mm, found.side_mm, height])

    assert found.length_mm == pytest.approx(float(np.linalg.norm(leg)))
    assert found.lean == pytest.approx(float(degrees_between(leg, np.array([0, 0, 1.0]))), abs=1e-4)


def test_an_upright_leg_has_no_sight_line_to_speak_of():
    assert leaning_leg(430, 0, 0).sight_line == 0
    assert leaning_leg(430, 0, 6).sight_line == 90


@pytest.mark.parametrize(("height", "front"), [(430, 61), (0, 5), (430, float("nan"))])
def test_what_is_no_leg_is_refused(height, front):
    with pytest.raises(OutsideValidity):
        leaning_leg(height, front, 0)


def test_slant_height():
    # By hand: 100 mm at 15 degrees.
    assert slant_height(100, 15) == pytest.approx(103.528, abs=0.0006)

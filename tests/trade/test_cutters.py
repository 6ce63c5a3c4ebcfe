import pytest
from benchbell.findings import OutsideValidity
from benchbell.trade.cutters import (
    cutter_named,
    feet_per_minute,
    most_at,
    rim_speed_m_per_s,
    router_band,
    router_bands,
    rpm_for,
    usual_rpm,
)
from hypothesis import given
from hypothesis import strategies as st


# By hand, pi x d x n / 60,000: circular saws at their usual speeds.
@pytest.mark.parametrize(
    ("diameter_mm", "rpm", "m_per_s"), [(250, 4000, 52.4), (300, 3400, 53.4), (216, 5000, 56.5), (315, 4800, 79.2)]
)
def test_rim_speed(diameter_mm, rpm, m_per_s):
    assert rim_speed_m_per_s(diameter_mm, rpm) == pytest.approx(m_per_s, abs=0.05)


# Common router speed table, and the rim speed at the top of each of its bands.
@pytest.mark.parametrize(
    ("inches", "rpm", "m_per_s"), [(1, 24000, 31.9), (2, 18000, 47.9), (2.5, 16000, 53.2), (3.5, 12000, 55.9)]
)
def test_the_most_a_router_bit_is_turned(inches, rpm, m_per_s):
    assert router_band(inches * 25.4).most_rpm == rpm
    assert rim_speed_m_per_s(inches * 25.4, rpm) == pytest.approx(m_per_s, abs=0.05)


def test_a_bit_a_little_larger_falls_in_the_slower_band():
    assert router_band(25.5).most_rpm == 18000


def test_larger_bits_turn_slower():
    speeds = [band.most_rpm for band in router_bands()]

    assert speeds == sorted(speeds, reverse=True)


def test_beyond_the_table_the_bits_own_mark_is_all_there_is():
    with pytest.raises(OutsideValidity, match=r"A bit of 90 mm is larger than 88.9 mm.*Use the speed marked"):
        router_band(90)


@given(st.floats(1, 500), st.floats(1, 30_000))
def test_turns_and_rim_speed_are_each_others_inverse(diameter_mm, rpm):
    assert rpm_for(diameter_mm, rim_speed_m_per_s(diameter_mm, rpm)) == pytest.approx(rpm)


def test_feet_a_minute():
    # A common ceiling for router bits: 11,000 ft/min is about 56 m/s.
    assert feet_per_minute(55.88) == pytest.approx(11_000, abs=1)


# Circular saws usually go 45 to 70 m/s (common practice, no source); by hand for 250 mm: 3,438 to 5,348 rpm.
def test_a_circular_saw_has_its_usual_range():
    usual = usual_rpm(cutter_named("circular saw"), 250)

    assert (usual.least, usual.most) == pytest.approx((3438, 5348), abs=1)


@pytest.mark.parametrize("diameter_mm", [45, 85, 149.9])
def test_there_is_no_saws_range_below_150_mm(diameter_mm):
    with pytest.raises(OutsideValidity, match=r"There is no usual speed for a circular saw .* begins at 150 mm"):
        usual_rpm(cutter_named("circular saw"), diameter_mm)


@given(st.floats(1, 88.9), st.floats(1, 200))
def test_a_router_bit_never_turns_faster_than_the_router_table_says(diameter_mm, m_per_s):
    bit, limit = cutter_named("router bit"), router_band(diameter_mm).most_rpm

    assert most_at(bit, diameter_mm, m_per_s).most <= limit
    assert usual_rpm(bit, diameter_mm).most <= limit


def test_the_largest_bit_may_be_given_in_millimetres():
    assert router_band(88.9) == router_band(3.5 * 25.4)


def test_a_45_mm_router_bit_turns_at_18000_rpm_at_most_and_not_at_a_saws_29709():
    # Common router speed table, 1 to 2 in: 18,000 rpm; 70 m/s by hand would be 29,709 rpm.
    assert usual_rpm(cutter_named("router bit"), 45).most == 18000
    assert most_at(cutter_named("router bit"), 45, 70).by_table


@pytest.mark.parametrize(("diameter_mm", "rpm"), [(0, 4000), (250, 0), (-1, 4000), (250, float("nan"))])
def test_what_does_not_turn_is_refused(diameter_mm, rpm):
    with pytest.raises(OutsideValidity, match="does not turn"):
        rim_speed_m_per_s(diameter_mm, rpm)

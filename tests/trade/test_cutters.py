import pytest
from benchbell.findings import OutsideValidity
from benchbell.trade.cutters import feet_per_minute, rim_speed_m_per_s, router_band, router_bands, rpm_for
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


@pytest.mark.parametrize(("diameter_mm", "rpm"), [(0, 4000), (250, 0), (-1, 4000), (250, float("nan"))])
def test_what_does_not_turn_is_refused(diameter_mm, rpm):
    with pytest.raises(OutsideValidity, match="does not turn"):
        rim_speed_m_per_s(diameter_mm, rpm)

import pytest
from benchbell.trade.cure_factors import band, bands, chemical_factor, deadline_factor, wait_factor
from hypothesis import given
from hypothesis import strategies as st

sets_by = st.sampled_from(["water", "chemical", "cooling"])


def test_a_reaction_doubles_its_speed_every_ten_degrees():
    # Trade rule: doubles per 10 °C or 18 °F; common practice.
    assert chemical_factor(20, 10) == 2
    assert chemical_factor(20, 30) == 0.5
    assert chemical_factor(20, 12) == pytest.approx(1.7411, abs=5e-5)


@given(sets_by, st.floats(0, 45), st.floats(0, 45), st.floats(0, 100))
def test_a_wait_never_shrinks_and_a_deadline_never_grows(kind, at, celsius, humidity):
    assert wait_factor(kind, at, celsius, humidity) >= 1
    assert 0 < deadline_factor(kind, at, celsius, humidity) <= 1


@given(sets_by, st.floats(0, 44), st.floats(0, 1), st.floats(0, 99), st.floats(0, 1))
def test_colder_or_damper_never_shortens_a_wait(kind, celsius, warmer, humidity, damper):
    assert wait_factor(kind, 20, celsius, humidity) >= wait_factor(kind, 20, celsius + warmer, humidity)
    assert wait_factor(kind, 20, celsius, humidity) <= wait_factor(kind, 20, celsius, humidity + damper)


def test_an_edge_belongs_to_the_band_below_it():
    assert [band("water", humidity) for humidity in (0, 35, 35.1, 60, 70, 80.5, 100)] == [35, 35, 60, 60, 70, 100, 100]


def test_humidity_does_not_matter_to_a_chemical_glue():
    assert bands("chemical") == (100,)

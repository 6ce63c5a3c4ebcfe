import pytest
from benchbell.findings import Refused, TooCold, UnknownName
from benchbell.trade.clamps import (
    Budget,
    budget,
    clamp_count,
    clamp_named,
    clamps,
    pressure_n_per_mm2,
    spacing_mm,
)
from benchbell.trade.glue import glue_named
from benchbell.trade.species import species, species_named
from hypothesis import given
from hypothesis import strategies as st

NEWTONS_PER_LBF = 4.44822
HEAVY_F = clamp_named("heavy F")


def test_force_is_pressure_times_area():
    # By hand: an edge 600 x 25 mm at 1.0 N/mm2 wants 15 kN; at 4.5 kN a clamp that is 4.
    found = clamp_count(600, 600 * 25, 75, 1.0, HEAVY_F)

    assert found.force_n == 15_000
    assert found.by_force == 4


def test_force_is_the_same_in_pounds():
    # By hand: an edge 24 x 3/4 in at 150 psi wants 2,700 lbf.
    n_per_mm2 = 150 * NEWTONS_PER_LBF / 25.4**2
    found = clamp_count(24 * 25.4, 24 * 0.75 * 25.4**2, 75, n_per_mm2, HEAVY_F)

    assert found.force_n / NEWTONS_PER_LBF == pytest.approx(2700)


def test_pressure_fans_out_at_45_degrees():
    # By hand: a 25 mm head, 75 mm from the glue line, covers 175 mm of it.
    assert spacing_mm(25, 75) == 175


def test_narrow_strips_want_closer_clamps():
    wide = clamp_count(600, 600 * 5, 75, 1.0, HEAVY_F)
    narrow = clamp_count(600, 600 * 5, 20, 1.0, HEAVY_F)

    assert (wide.by_spacing, narrow.by_spacing) == (4, 10)
    assert (wide.count, narrow.count) == (4, 10)


@given(st.sampled_from(list(clamps().values())), st.floats(20, 3000), st.floats(5, 60), st.floats(0, 600))
def test_there_are_always_enough_clamps_for_both_force_and_spacing(clamp, length, width, depth):
    found = clamp_count(length, length * width, depth, 1.0, clamp)

    assert found.count * clamp.least_n >= found.force_n * (1 - 1e-12)
    assert found.count * found.spacing_mm >= length * (1 - 1e-12)
    assert found.count == max(found.by_force, found.by_spacing) >= 1


def test_light_woods_want_less_pressure_than_heavy_ones():
    # Wood Handbook, FPL-GTR-190, ch. 10, from memory: about 700 kPa for low density to 1,700 kPa for the densest.
    pressures = {wood.id: pressure_n_per_mm2(wood) for wood in species().values() if wood.gravity}

    assert min(pressures.values()) == 0.7
    assert max(pressures.values()) == 1.7
    assert pressures["eastern white pine"] < pressures["black cherry"] < pressures["sugar maple"]


def test_usual_hardwood_is_in_the_trades_range():
    # Trade figures: 175 to 250 psi for hardwood, that is 1.2 to 1.7 N/mm2.
    assert 1.2 <= pressure_n_per_mm2(species_named("hard maple")) <= 1.7


@pytest.mark.parametrize("clamp", clamps().values(), ids=lambda clamp: clamp.id)
def test_a_clamps_range_begins_at_its_low_end(clamp):
    assert 0 < clamp.least_n < clamp.most_n


def test_a_joint_of_no_size_is_refused():
    with pytest.raises(Refused, match=r"A joint cannot be 600 mm long with 0 mm² of glue, 75 mm from its clamps. Give"):
        clamp_count(600, 0, 75, 1.0, HEAVY_F)


def test_an_unknown_clamp_is_answered_with_the_nearest():
    with pytest.raises(UnknownName, match=r'No clamp is called "heavi". Did you mean heavy F'):
        clamp_named("heavi")


def test_a_glue_up_inside_the_open_time_is_not_over():
    # Common practice, no source: plain PVA, 5 min open and 10 min to the last clamp.
    assert budget(4, 5, glue_named("pva-interior"), 20, 50) == Budget(5, 10, 0)


def test_a_glue_up_is_over_by_the_worse_of_spreading_and_clamping():
    glue = glue_named("pva-interior")

    assert budget(6, 2, glue, 20, 50).over_minutes == 1
    assert budget(5, 8, glue, 20, 50).over_minutes == 3


def test_too_cold_to_glue_has_no_budget():
    with pytest.raises(TooCold):
        budget(4, 5, glue_named("urea-formaldehyde"), 20, 50)

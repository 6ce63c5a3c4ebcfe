from math import floor

import pytest
from benchbell.findings import OutsideValidity, Refused, TooCold, UnknownName
from benchbell.trade.glue import (
    assembly_minutes,
    clamp_minutes,
    cure_minutes,
    dry_minutes,
    glue_named,
    glues,
    machine_minutes,
    open_minutes,
    origin,
    pot_minutes,
)
from hypothesis import given
from hypothesis import strategies as st

AS_TOLD = ["pva-interior", "pva-type-2", "pva-type-1", "pva-slow", "hide-liquid", "hide-hot", "polyurethane"]
AS_TOLD += ["epoxy-fast", "epoxy-slow", "urea-formaldehyde", "cyanoacrylate", "contact"]

names = st.sampled_from(AS_TOLD)
warm_enough = st.floats(21, 45)
percent = st.floats(0, 100)


def test_the_classes_of_glue():
    assert list(glues()) == AS_TOLD


@pytest.mark.parametrize("row", glues().values(), ids=lambda row: row.id)
def test_the_low_end_of_a_range_is_first(row):
    ranges = [value for name in row.__struct_fields__ if isinstance(value := getattr(row, name), tuple)]

    assert all(low <= high for low, high in (pair for pair in ranges if isinstance(pair[0], int | float)))


def test_a_deadline_is_the_low_end_and_a_wait_the_high_end():
    # Common practice, no source: plain PVA open 5 to 10 min, closed 10 to 20, in clamps 30 to 60, machine after 24 h.
    glue = glue_named("pva-interior")

    assert open_minutes(glue, 20, 50) == 5
    assert assembly_minutes(glue, 20, 50) == 10
    assert clamp_minutes(glue, 20, 50, stressed=False) == 60
    assert clamp_minutes(glue, 20, 50, stressed=True) == 24 * 60
    assert machine_minutes(glue, 20, 50) == 24 * 60
    assert cure_minutes(glue, 20, 50) == 24 * 60


def test_a_chemical_glue_takes_twice_as_long_ten_degrees_colder():
    # Worked example of the trade rule, speed doubles per 10 °C (18 °F): 6 h at 25 °C is 12 h at 15 °C.
    glue = glue_named("epoxy-slow", {"clamp_minutes": 360, "at_celsius": 25})

    assert clamp_minutes(glue, 25, 50, stressed=False) == 360
    assert clamp_minutes(glue, 15, 50, stressed=False) == 720


def test_an_hour_at_20_is_104_minutes_at_12():
    # The same rule by hand: 60 min x 2^0.8 = 104.47 min.
    glue = glue_named("polyurethane", {"clamp_minutes": 60})

    assert clamp_minutes(glue, 12, 50, stressed=False) == pytest.approx(60 * 2**0.8, abs=1 / 60_000)


@pytest.mark.parametrize(("humidity", "minutes"), [(0, 60), (50, 60), (60, 60), (60.1, 75), (75, 90), (80.1, 120)])
def test_damp_air_keeps_a_water_setting_glue_in_clamps_for_longer(humidity, minutes):
    # Common practice, no source: x1 to 60 %, x1.25 to 70 %, x1.5 to 80 %, x2 above.
    assert minutes == clamp_minutes(glue_named("pva-interior"), 20, humidity, stressed=False)


@pytest.mark.parametrize(("celsius", "humidity"), [(20, 34), (20, 35), (27.1, 50), (40, 20)])
def test_hot_or_dry_air_takes_a_quarter_off_the_open_time(celsius, humidity):
    # Common practice, no source: x0.75 below 35 % or above 27 °C.
    assert open_minutes(glue_named("pva-slow"), celsius, humidity) == 7.5


def test_a_cold_shop_doubles_the_wait_of_a_water_setting_glue():
    # "Twice the time in a cold shop", a woodworking magazine; common practice.
    assert clamp_minutes(glue_named("pva-interior"), 12, 50, stressed=False) == 120


@given(names, warm_enough, percent, st.booleans())
def test_warmth_never_shortens_a_wait(name, celsius, humidity, stressed):
    glue = glue_named(name)
    table = glue.stressed_clamp_minutes if stressed else glue.clamp_minutes

    assert clamp_minutes(glue, celsius, humidity, stressed) >= table


@given(names, warm_enough, percent)
def test_no_air_lengthens_a_deadline(name, celsius, humidity):
    glue = glue_named(name)

    assert open_minutes(glue, celsius, humidity) <= glue.open_minutes


def test_heat_shortens_open_time_and_pot_life_of_a_chemical_glue():
    # The doubling rule by hand: 20 min at 20 °C are 10 min at 30 °C.
    glue = glue_named("epoxy-slow")

    assert open_minutes(glue, 30, 50) == 10
    assert pot_minutes(glue, 30, 50) == 10
    assert clamp_minutes(glue, 30, 50, stressed=False) == 720


@given(names, st.floats(21, 44.99), percent)
def test_a_part_of_a_degree_counts_on_the_careful_side(name, celsius, humidity):
    glue = glue_named(name)

    assert clamp_minutes(glue, celsius, humidity, False) == clamp_minutes(glue, floor(celsius), humidity, False)
    assert open_minutes(glue, celsius, humidity) <= open_minutes(glue, floor(celsius), humidity)


@pytest.mark.parametrize("name", AS_TOLD)
def test_below_its_least_temperature_there_is_no_figure(name):
    glue = glue_named(name)

    with pytest.raises(TooCold, match=f"the least for {name}.*Do not glue: warm the shop"):
        clamp_minutes(glue, glue.least_celsius - 0.1, 50, stressed=False)
    with pytest.raises(TooCold):
        open_minutes(glue, glue.least_celsius - 0.1, 50)
    assert clamp_minutes(glue, glue.least_celsius, 50, stressed=False) >= glue.clamp_minutes


@pytest.mark.parametrize(("celsius", "humidity"), [(-1, 50), (45.1, 50), (20, -1), (20, 101), (float("nan"), 50)])
def test_beyond_the_usual_air_there_is_no_figure(celsius, humidity):
    with pytest.raises(OutsideValidity, match=r"Read the"):
        clamp_minutes(glue_named("pva-interior"), celsius, humidity, stressed=False)


def test_only_what_is_mixed_has_a_pot_life():
    mixed = {name for name in AS_TOLD if pot_minutes(glue_named(name), 25, 50) is not None}

    assert mixed == {"epoxy-fast", "epoxy-slow", "urea-formaldehyde"}


def test_only_contact_cement_dries_before_the_faces_meet():
    waits = {name for name in AS_TOLD if dry_minutes(glue_named(name), 25, 50) > 0}

    assert waits == {"contact"}


def test_the_label_comes_before_the_table_and_is_remembered():
    glue = glue_named("pva-interior", {"open_minutes": 8, "least_celsius": 6.5})

    assert open_minutes(glue, 20, 50) == 8
    assert glue.from_label == ("least_celsius", "open_minutes")
    assert origin(glue, "open_minutes") == "the container's label"
    assert origin(glue, "clamp_minutes") == "typical of its class, common practice, no source"
    assert glue.least_celsius == 7


def test_a_longer_label_figure_lifts_those_that_cannot_be_shorter():
    glue = glue_named("pva-interior", {"clamp_minutes": 2000, "open_minutes": 30})

    assert clamp_minutes(glue, 20, 50, stressed=True) == 2000
    assert machine_minutes(glue, 20, 50) == 2000
    assert assembly_minutes(glue, 20, 50) == 30


def test_a_label_cannot_say_what_no_label_says():
    with pytest.raises(UnknownName, match=r'No figure on a glue.s label is called "clamp_time".*clamp_minutes'):
        glue_named("pva-interior", {"clamp_time": 30})
    with pytest.raises(Refused, match=r"pva-interior: clamp_minutes is -5, which is outside 0 to 525600. Read the"):
        glue_named("pva-interior", {"clamp_minutes": -5})
    with pytest.raises(Refused):
        glue_named("pva-interior", {"clamp_minutes": float("nan")})


def test_an_unknown_glue_is_answered_with_the_nearest():
    with pytest.raises(UnknownName, match=r'No glue is called "pva interior". Did you mean pva-interior'):
        glue_named("pva interior")

"""Sizes, angles and times: what is read, what is shown, and that one is the other's reverse."""

import operator
from fractions import Fraction

import pint
import pytest
from benchbell.recipe.measure import (
    LENGTH,
    NUMBER,
    UNITS,
    NotAMeasure,
    dim_named,
    plain,
    read,
    round_half_up,
    show,
    told_apart,
)
from benchbell.recipe.measure import Dim as Dimension
from hypothesis import given
from hypothesis import strategies as st
from twins import answer_of, cases, expected

ASKS = {
    "read": read,
    "show": lambda value, dim, units: show(value, dim_named(dim), units),
    "dim_name": lambda dim: Dimension(**dim).name,
    "round_half_up": round_half_up,
    "floor_div": operator.floordiv,
    "floor_mod": operator.mod,
}
LISTED = pint.UnitRegistry()
PINT_NAMES = {
    "in": "inch",
    "ft": "foot",
    "deg": "degree",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "d": "day",
    "%": "percent",
}
PINT_BASES = {"length": "millimetre", "angle": "degree", "time": "minute", "percentage": "percent"}


@pytest.mark.parametrize("case", cases("measure"), ids=lambda case: case["rule"])
def test_vector(case):
    assert expected(case) == answer_of(ASKS[case["ask"]], *case["given"])


@pytest.mark.parametrize("unit", UNITS)
def test_units_are_worth_what_a_reference_library_says(unit):
    # pint, a general-purpose library of units, is the reference.
    quantity = read(f"7.25 {unit}")
    wanted = LISTED.Quantity(7.25, PINT_NAMES.get(unit, unit)).to(PINT_BASES[quantity.dim.name])

    assert wanted.magnitude == pytest.approx(quantity.value, rel=1e-14)


@given(st.integers(0, 4000), st.integers(0, 63), st.booleans())
def test_a_size_in_inches_is_read_to_the_last_bit(whole, top, with_feet):
    # International yard and pound agreement of 1959: 1 in = 25.4 mm exactly.
    feet, left = divmod(whole, 12) if with_feet else (0, whole)
    text = (f"{feet}' " if with_feet else "") + f'{left} {top}/64"'

    assert float((12 * feet + left + Fraction(top, 64)) * Fraction("25.4")) == pytest.approx(
        read(text).value, rel=3e-16
    )


@given(st.fractions(-500, 500, max_denominator=256))
def test_inches_are_shown_to_the_nearest_64th_halves_up_and_what_lies_between_as_about(inches):
    steps = (inches * 64 + Fraction(1, 2)).__floor__()
    whole, rest = divmod(abs(Fraction(steps, 64)), 1)
    words = [str(whole)] * bool(whole or not rest) + [str(rest)] * bool(rest)
    about = "≈" * (inches * 64 != steps)

    assert about + ("-" if steps < 0 else "") + " ".join(words) + " in" == show(float(inches * 127 / 5), LENGTH, "in")


@pytest.mark.parametrize(
    ("one", "other", "units", "told"),
    [
        (150.1, 150, "in", ("150.1 mm", "150 mm")),  # both ≈5 29/32 in
        (304.8, 300, "in", ("12 in", "≈11 13/16 in")),
        (304.9, 304.8, "in", ("304.9 mm", "304.8 mm")),  # ≈12 in and 12 in read as the same
        (100.04, 100, "mm", ("100.04 mm", "100 mm")),
        (100, 100, "in", ("≈3 15/16 in", "≈3 15/16 in")),
    ],
)
def test_lengths_that_differ_are_said_to(one, other, units, told):
    assert told_apart(one, other, units) == told


@given(st.integers(-(10**9), 10**9))
def test_millimetres_shown_are_read_again(tenths):
    assert tenths / 10 == read(show(tenths / 10, LENGTH, "mm")).value


@given(st.integers(0, 10**6))
def test_times_shown_are_read_again(minutes):
    assert minutes == read(show(float(minutes), dim_named("time"), "mm")).value


@given(st.floats(-1e11, 1e11), st.integers(0, 3))
def test_a_figure_shown_is_at_most_half_a_step_off(value, places):
    assert abs(Fraction(plain(value, places)) - Fraction(value)) <= Fraction(500001, 10**6) / 10**places + abs(
        Fraction(value) / 10**15
    )


@given(st.text(alphabet="0123456789 ./½⁄'\"’”°-−,mincftdeghsay\u00a0", max_size=70) | st.text(max_size=70))
def test_any_text_is_read_or_refused_with_a_next_step(text):
    answer = answer_of(read, text)

    assert "answer" in answer or answer["refused"].endswith(".")


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_not_finite_is_not_shown(value):
    with pytest.raises(NotAMeasure, match=r"not a finite number\. Check the sizes"):
        show(value, NUMBER, "mm")

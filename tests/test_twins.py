"""The page's half of each twin, asked the same questions as the Python half."""

import pytest
from benchbell.recipe.formula import compile_formula, evaluate, names_in
from benchbell.recipe.measure import DIM_NAMES, dim_named, plain, read, round_half_up, show
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from random_formulas import DIMS, RULES, formulas, is_steady, sizes_of_a_build
from twins import answer_of, ask_the_page

figures = st.floats(-1e9, 1e9) | st.integers(-(10**9), 10**9).map(lambda n: n / 64)
names = st.sampled_from([*DIM_NAMES.values(), "other"])
whole = st.integers(-(2**53) + 1, 2**53 - 1)

often = settings(max_examples=400, deadline=None)  # the first answer waits for node to start


def measures_as_typed():
    """Text that is a size, or nearly one."""
    numbers = st.sampled_from(
        ["1", "12", "3/4", "1 3/4", "½", "1½", "2.5", ".5", "7 / 8", "1 5/4", "0/1", "2,5", "1e3"]
    )
    units = st.sampled_from(
        ["mm", " mm", "\u00a0in", '"', "'", "’", "”", "''", " ft", "°", " deg", " h", " min", " s", "d", ""]
    )
    pieces = st.tuples(numbers, units, st.sampled_from(["", " ", "-"])).map("".join)
    return st.tuples(st.sampled_from(["", "-", "− ", " "]), st.lists(pieces, max_size=3).map("".join)).map("".join)


@often
@given(measures_as_typed() | st.text(max_size=65))
def test_a_size_is_read_the_same_on_the_phone(text):
    assert answer_of(read, text) == ask_the_page("read", text)


@often
@given(figures, names, st.sampled_from(["mm", "in"]))
def test_a_figure_is_shown_the_same_on_the_phone(value, name, units):
    assert answer_of(show, value, dim_named(name), units) == ask_the_page("show", value, name, units)


@often
@given(figures, st.integers(0, 3))
def test_a_figure_is_rounded_the_same_on_the_phone(value, places):
    assert answer_of(plain, value, places) == ask_the_page("plain", value, places)
    assert answer_of(round_half_up, value) == ask_the_page("round_half_up", value)


@often
@given(whole, whole.filter(bool))
def test_whole_numbers_divide_the_same_on_the_phone(a, b):
    assert {"answer": a % b} == ask_the_page("floor_mod", a, b)
    assert {"answer": a // b} == ask_the_page("floor_div", a, b)


@settings(max_examples=600, deadline=None)
@given(st.data(), sizes_of_a_build(), st.sampled_from(list(RULES)))
def test_a_formula_is_worth_the_same_on_the_phone(data, sizes, dim):
    postfix = compile_formula(data.draw(formulas(dim, sizes)).text, DIMS).postfix
    here, there = answer_of(evaluate, postfix, sizes), ask_the_page("evaluate", postfix, sizes)

    assert sorted(names_in(postfix)) == ask_the_page("names_in", postfix)["answer"]
    if "refused" in here and "refused" in there:
        assert here == there
    else:
        assume(is_steady(postfix, sizes, 1e-12))

        assert here["answer"] == pytest.approx(there["answer"], rel=1e-9, abs=0)


@often
@given(
    st.lists(
        st.sampled_from([1, 2.5, 0, -3, "@leg", "@none", "+", "^", "sqrt", "round", "neg", "nonsense"]), max_size=7
    )
)
def test_a_list_that_is_no_formula_is_refused_the_same_on_the_phone(postfix):
    assert answer_of(evaluate, postfix, {"leg": 600}) == ask_the_page("evaluate", postfix, {"leg": 600})

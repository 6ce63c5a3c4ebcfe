"""A dash before a fraction, and units in other words, are told with what to write."""

import pytest
from benchbell.recipe.formula import FormulaError, compile_formula, evaluate
from benchbell.recipe.measure import UNITS
from benchbell.recipe.unit_slips import UNIT_MEANT, WRITTEN_OUT, dashed_fraction


@pytest.mark.parametrize("word", sorted(UNIT_MEANT))
def test_what_a_word_for_a_unit_is_told_to_be_compiles(word):
    with pytest.raises(FormulaError) as caught:
        compile_formula(f"28 {word}", {})
    meant = caught.value.next_step.removeprefix("Write ").removesuffix(".")
    assert compile_formula(meant, {}).dim == UNITS[UNIT_MEANT[word]][2]


def test_every_unit_that_is_meant_is_one():
    assert WRITTEN_OUT.keys() <= UNITS.keys()


def test_a_subtraction_whose_kinds_go_together_stays_one():
    assert evaluate(compile_formula("28 in-1/4 in", {}).postfix, {}) == pytest.approx(27.75 * 25.4)
    assert evaluate(compile_formula("2 in*3-1/4 in", {}).postfix, {}) == pytest.approx(5.75 * 25.4)


@pytest.mark.parametrize("formula", ["28 - 1/4 in", "leg-1/4 in", "28 1/4 in", "1/28-1/4 in"])
def test_no_dash_ties_these(formula):
    assert dashed_fraction(formula) is None

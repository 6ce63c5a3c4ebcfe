"""Formulas: what they are worth, which kind comes out, and what is said about a wrong one."""

import pytest
from benchbell.findings import Refused
from benchbell.recipe.dimensions import FUNCTIONS, OPERATORS
from benchbell.recipe.formula import (
    ARITHMETIC,
    CannotEvaluate,
    Compiled,
    FormulaError,
    Macro,
    compile_formula,
    evaluate,
    names_in,
    substitute,
)
from benchbell.recipe.measure import ANGLE, AREA, LENGTH, NUMBER, TIME, VOLUME, Dim
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from random_formulas import DIMS, RULES, formulas, is_steady, sizes_of_a_build
from twins import answer_of, cases, expected

ASKS = {"evaluate": evaluate, "names_in": lambda postfix: sorted(names_in(postfix))}
SIZES = {"leg": 600, "rail": 300, "splay": 8, "rake": 5, "shelves": 4, "rest": 90, "top": 1e6}


@pytest.mark.parametrize("case", cases("formula"), ids=lambda case: case["rule"])
def test_vector(case):
    answer = answer_of(ASKS[case["ask"]], *case["given"])
    if "within" in case:
        assert case["answer"] == pytest.approx(answer["answer"], rel=0, abs=case["within"])
    else:
        assert expected(case) == answer


def worth(text):
    return evaluate(compile_formula(text, DIMS).postfix, SIZES)


@pytest.mark.parametrize(
    ("text", "value", "dim"),
    [
        ("leg - 1 3/4 in", 555.55, LENGTH),
        ("38 mm * 60 mm", 2280, AREA),
        ("2 * (leg + rail)", 1800, LENGTH),
        ("3/4 * leg", 450, LENGTH),
        ("leg / (3/4 in)", 600 / 19.05, NUMBER),
        ("12/4^2", 0.75, NUMBER),
        ("-2^2", -4, NUMBER),
        ("2^-2", 0.25, NUMBER),
        ("2 - 3 - 4", -5, NUMBER),
        ("24 / 4 / 2", 3, NUMBER),
        ("2 * -3", -6, NUMBER),
        ("1 - -1", 2, NUMBER),
        ("(38 mm)^2 * 2 m", 2_888_000, VOLUME),
        ("sqrt(leg^2 + rail^2)", 450_000**0.5, LENGTH),
        ("top / leg", 1e6 / 600, LENGTH),
        ("splay + 7.5°", 15.5, ANGLE),
        ("rest + 1 h 30 min", 180, TIME),
        ("5' 3 1/2\" - leg", 1012.9, LENGTH),
        ("min(leg, rail, 10 in)", 254, LENGTH),
        ("floor(leg / (25 mm), 1)", 24, NUMBER),
        ("round(leg / 7, 1/16 in)", 85.725, LENGTH),
        ("\n  leg\t+ 1 mm ", 601, LENGTH),
    ],
)
def test_a_formula_is_worth_what_reckoning_by_hand_gives(text, value, dim):
    compiled = compile_formula(text, DIMS)

    assert dim == compiled.dim
    assert value == pytest.approx(evaluate(compiled.postfix, SIZES), rel=1e-12)


@given(
    st.lists(st.tuples(st.sampled_from(["+", "-", "*", "/"]), st.sampled_from(["2", "-3", "5.5", "2^3", "-(1 - 4)^2"])))
)
def test_operators_bind_as_in_python(tail):
    text = "7" + "".join(f" {operator} {operand}" for operator, operand in tail)

    assert eval(text.replace("^", "**")) == pytest.approx(worth(text), rel=1e-12, abs=1e-9)


@settings(max_examples=500, deadline=None)
@given(st.data(), sizes_of_a_build(), st.sampled_from(list(RULES)))
def test_any_formula_is_worth_what_pythons_own_arithmetic_gives(data, sizes, dim):
    written = data.draw(formulas(dim, sizes))
    compiled = compile_formula(written.text, DIMS)

    assert dim == compiled.dim
    assume(written.value is not None and is_steady(compiled.postfix, sizes, 1e-8))
    assert written.value == pytest.approx(evaluate(compiled.postfix, sizes), rel=1e-9)


@pytest.mark.parametrize(
    ("text", "column", "sentence"),
    [
        ("", 1, "the end is there instead of a size. Write a size or a name."),
        ("leg +", 6, "the end is there instead of a size. Write a size or a name."),
        ("leg rail", 5, "“rail” is there instead of the end or an operator. Put an operator between."),
        ("3 (4)", 3, "“(” is there instead of the end or an operator. Put an operator between."),
        ("(leg", 5, "the end is there instead of “)”. Put an operator between."),
        ("leg)", 4, "“)” is there instead of the end or an operator. Put an operator between."),
        ("2,5 mm", 2, "“,” is there instead of the end or an operator. Write decimals with a point."),
        ("1e5 mm", 2, "“e5” is there instead of the end or an operator. Put an operator between."),
        ('leg "+" 3', 5, "“+” is there instead of the end or an operator. Put an operator between."),
        ("28-1/4 in", 1, "a dash ties a fraction to its whole number, which reads as minus. Did you mean 28 1/4 in?"),
        ('leg + 28-1/4"', 7, 'a dash ties a fraction to its whole number, which reads as minus. Did you mean 28 1/4"?'),
        ("28 inches", 4, "“inches” is not read as a unit. Write 28 in."),
        ("max(2 foot, leg)", 7, "“foot” is not read as a unit. Write 2 ft."),
        ("3 hours", 3, "“hours” is not read as a unit. Write 3 h."),
        ("(28 MM)", 5, "“MM” is not read as a unit. Write 28 mm."),
        ("28 1/4 inches", 8, "“inches” is not read as a unit. Write 28 1/4 in."),
        ("3/4 inch - leg", 5, "“inch” is not read as a unit. Write 3/4 in."),
        ("28.in", 3, "a unit stands without a point. Write it as in 3 in."),
        ("28 mm.", 6, "a unit stands without a point. Write it as in 3 mm."),
        ("leg.", 4, "“.” has no meaning here. Use sizes, names and +-*/^(),."),
        ("leg # 2", 5, "“#” has no meaning here. Use sizes, names and +-*/^(),."),
        ("hight * 2 + leg", 1, "there is no size named hight. Use one of: leg, rail, rake, rest, shelves, splay, top."),
        ("2 * legs", 5, "there is no size named legs. Did you mean leg?"),
        ("rond(leg, 1 mm)", 1, "there is no function named rond. Did you mean round?"),
        (
            "leg + splay",
            5,
            "a length and an angle do not go together in “+”. Use values of one kind: give a bare number its unit.",
        ),
        (
            "max(0, leg)",
            1,
            "a number and a length do not go together in “max”. Use values of one kind: give a bare number its unit.",
        ),
        ("sqrt(leg)", 1, "sqrt of a length has no meaning. Take the root of a number or an area."),
        ("sin(8)", 1, "sin takes an angle, not a number. Give it an angle."),
        ("asin(8 deg)", 1, "asin takes a number, not an angle. Give it a number."),
        ("min(leg)", 1, "min has 1 argument. Give it 2 to 20."),
        ("round(leg)", 1, "round has 1 argument. Give it 2."),
        ("sin('oak')", 1, "sin takes no text in quotes. Write a size or a name."),
        ("leg / 3/4 in", 7, "it is unclear what is divided. Write (3/4 in)."),
        ("38 mm ^ 2", 7, "a power after a unit is unclear. Write (38 mm)^2."),
        ("2^3^2", 4, "a power of a power is unclear. Put the first in parentheses."),
        ("2^7", 3, "“7” is not a whole power. Use -6 to 6."),
        ("2^-7", 4, "“7” is not a whole power. Use -6 to 6."),
        ("2^1.5", 3, "“1.5” is not a whole power. Use -6 to 6."),
        ("2^leg", 3, "“leg” is not a whole power. Use -6 to 6."),
        ("2^(3)", 3, "“(” is not a whole power. Use -6 to 6."),
        ("1 5/4 in", 1, "“1 5/4” is not a proper fraction. Write it as 3/4 or 1 3/4."),
        (
            "1 + 99999999999 m",
            5,
            "“99999999999 m” is larger than any workshop. Check the digits and the unit.",
        ),
    ],
)
def test_a_wrong_formula_gives_its_column_and_the_next_step(text, column, sentence):
    with pytest.raises(FormulaError) as caught:
        compile_formula(text, DIMS)

    assert f"Formula “{text}”, column {column}: {sentence}" == str(caught.value)
    assert column == caught.value.column


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("1+" * 1001 + "1", "longer than 2000 characters"),
        ("(" * 51 + "1" + ")" * 51, "nested deeper than 50"),
        ("abs(" * 51 + "1" + ")" * 51, "nested deeper than 50"),
        ("-" * 60 + "1", "nested deeper than 50"),
        ("9" * 1900, "larger than any workshop"),
    ],
)
def test_a_hostile_formula_is_refused(text, what):
    with pytest.raises(FormulaError, match=what) as caught:
        compile_formula(text, {})

    assert len(str(caught.value)) < 250


def test_the_most_that_is_allowed_is_read():
    assert evaluate(compile_formula("(" * 50 + "1" + ")" * 50, {}).postfix, {}) == 1
    assert evaluate(compile_formula("1+" * 999 + "1", {}).postfix, {}) == 1000


@given(st.text(alphabet="leg1 3/4in^*+-(),.'\"°maxsqrt", max_size=60) | st.text(max_size=60))
def test_any_text_is_compiled_or_refused_with_a_next_step(text):
    try:
        compile_formula(text, DIMS)
    except FormulaError as refusal:
        assert 1 <= refusal.column <= len(text) + 1
        assert str(refusal).endswith((".", "?"))


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_not_finite_is_refused(value):
    for postfix, sizes in (([value], {}), (["@leg"], {"leg": value})):
        with pytest.raises(CannotEvaluate, match="not a finite number"):
            evaluate(postfix, sizes)


def test_what_can_be_compiled_can_be_reckoned():
    assert set(ARITHMETIC) == {*OPERATORS, *FUNCTIONS, "^", "neg"}


def widened(arguments):
    """A trade function for the tests: its size and a tenth more for each part named."""
    width, kind = arguments
    if not isinstance(width, Compiled) or kind != "flat":
        raise Refused(f"{kind!r} is no cut.", "Write 'flat'.")
    return substitute(compile_formula("width + width / 10", {"width": LENGTH}), {"width": width})


def test_a_trade_function_becomes_plain_arithmetic():
    widen: Macro = widened
    compiled = compile_formula('2 * widened(leg - 100 mm, "flat")', DIMS, {"widened": widen})

    assert compiled.dim == LENGTH
    assert {"leg"} == compiled.names
    assert evaluate(compiled.postfix, SIZES) == 1100


def test_what_a_trade_function_refuses_is_told_with_its_column():
    with pytest.raises(FormulaError, match=r"column 5: 'round' is no cut. Write 'flat'."):
        compile_formula("2 * widened(leg, 'round')", DIMS, {"widened": widened})


def test_trade_functions_in_each_other_do_not_grow_without_end():
    text = "widened(" * 20 + "leg" + ", 'flat')" * 20

    with pytest.raises(FormulaError, match="widened becomes more than 2000 steps"):
        compile_formula(text, DIMS, {"widened": widened})


def test_a_kind_without_a_word_is_told_by_its_powers():
    assert Dim(4, 0, 0) == compile_formula("top * top", DIMS).dim
    with pytest.raises(FormulaError, match=r"a length\^4 and a length do not go together"):
        compile_formula("top * top + leg", DIMS)

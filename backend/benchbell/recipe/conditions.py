"""Conditions: whether something of a recipe is there, by what was chosen.

`door`, `not door`, `drawers >= 2`, `width > 500 mm`, `wood = "white oak"`. Only sizes that nobody measures may stand in
one: what a build has is settled when it begins.
"""

import re
from collections.abc import Callable, Mapping

from benchbell.findings import Refused, use_one_of
from benchbell.recipe.choices import Answer
from benchbell.recipe.dimensions import with_article
from benchbell.recipe.formula import compile_formula, evaluate
from benchbell.recipe.measure import Quantity
from benchbell.recipe.named_sizes import FormulaScope, names_used
from benchbell.recipe.usual_names import usual
from benchbell.trade.species import species_named

COMPARISONS: dict[str, Callable[[float, float], bool]] = {
    ">=": lambda a, b: a >= b - abs(b) * SAME,
    "<=": lambda a, b: a <= b + abs(b) * SAME,
    "!=": lambda a, b: abs(a - b) > abs(b) * SAME,
    "=": lambda a, b: abs(a - b) <= abs(b) * SAME,
    ">": lambda a, b: a > b + abs(b) * SAME,
    "<": lambda a, b: a < b - abs(b) * SAME,
}
SAME = 1e-9
"""Two values are equal within this share: 19 mm in inches is not 19 mm to the last bit."""

_compared = re.compile(r"(.*?)(>=|<=|!=|=|<|>)(.*)", re.DOTALL)
_text = re.compile(r"\s*(?:\"([^\"]*)\"|'([^']*)')\s*")


class WrongCondition(Refused):
    """A condition cannot be understood."""


class DependsOnWrong(WrongCondition):
    """A formula uses a size whose own formula is wrong, which is told where that stands."""


def holds(condition: str, answers: Mapping[str, Answer], scope: FormulaScope) -> bool:
    """Whether a condition holds. answers: the choices by name. scope: the sizes that are known before a build begins.

    Raises Refused when it cannot be understood, DependsOnWrong when it uses a size that is wrong itself.
    """
    found = _compared.fullmatch(condition)
    if found is None:
        words = condition.split()
        negated = words[:1] == ["not"]
        return is_yes(" ".join(words[negated:]), answers) is not negated
    left, operator, right = found[1].strip(), found[2], found[3].strip()
    answer = answers.get(left)
    if answer is not None and answer.value is None:
        return is_text(answer, right, operator)
    a, b = (value_of(side, scope) for side in (left, right))
    if a.dim != b.dim:
        what = f"“{condition}” compares {with_article(a.dim)} with {with_article(b.dim)}."
        raise WrongCondition(what, "Compare values of one kind: give a bare number its unit.")
    return COMPARISONS[operator](a.value, b.value)


def is_yes(name: str, answers: Mapping[str, Answer]) -> bool:
    """Whether a yes or no was answered with yes. Raises WrongCondition when there is no such choice."""
    known = {one for one, answer in answers.items() if answer.choice.kind == "yes-no"}
    if name in answers and name not in known:
        like = '= "…"' if answers[name].value is None else f"= {answers[name].choice.value}"
        raise WrongCondition(f"{name} is not a yes or no.", f"Compare it with something, such as {name} {like}.")
    if name not in known:
        raise WrongCondition(f"“{name}” is not a choice of yes or no.", use_one_of(name, known))
    value = answers[name].value
    return value is not None and value.value == 1


def is_text(answer: Answer, right: str, operator: str) -> bool:
    """Whether the text that was chosen is the quoted one. Raises WrongCondition when it never could be."""
    choice, quoted = answer.choice, _text.fullmatch(right)
    if quoted is None or operator not in ("=", "!="):
        raise WrongCondition(f"{choice.name} is a text.", f'Write {choice.name} = "{choice.value}", or != for not.')
    text = quoted[1] or quoted[2] or ""
    wanted, chosen = (usual(species_named, one) for one in (text, choice.value))
    if wanted not in {usual(species_named, one) for one in choice.among}:
        raise WrongCondition(
            f"{choice.name} is never “{text}”.",
            use_one_of(text, choice.among, "under its choice, or in benchbell names wood"),
        )
    return (wanted == chosen) is (operator == "=")


def value_of(formula: str, scope: FormulaScope) -> Quantity:
    """What a formula comes to.

    Raises Refused when it is wrong, or uses what is not known before a build begins; DependsOnWrong when it uses a size
    that is wrong itself.
    """
    for name in sorted(names_used(formula, scope.wrong)):
        raise DependsOnWrong(f"“{formula}” uses {name}, which is wrong itself.", f"Correct {name}.")
    for name in sorted(names_used(formula, scope.broken)):
        what = f"“{formula}” uses {name}, which depends on a size that is measured."
        raise WrongCondition(what, "Use a size as drawn: what a build has is settled when it begins.")
    compiled = compile_formula(formula, scope.dims, scope.functions)
    return Quantity(evaluate(compiled.postfix, scope.plan), compiled.dim)


def number_in(formula: str, scope: FormulaScope) -> float:
    """The bare number that a formula comes to. Raises Refused when it is none, DependsOnWrong as value_of does."""
    found = value_of(formula, scope)
    if found.dim.name != "number":
        what = f"“{formula}” is {with_article(found.dim)}, not a number."
        raise WrongCondition(what, "Divide it by another of its kind.")
    rounded = round(found.value)
    return rounded if abs(found.value - rounded) < SAME else found.value

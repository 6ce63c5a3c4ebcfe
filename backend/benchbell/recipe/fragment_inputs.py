"""What a recipe sets a fragment's choices to: formulas over its own sizes, numbers, answers."""

from typing import Any

import msgspec

from benchbell.findings import Refused, use_one_of
from benchbell.recipe.choices import Answer, WrongChoice, answered, defined, require_within
from benchbell.recipe.conditions import DependsOnWrong, holds, number_in, value_of
from benchbell.recipe.dimensions import with_article
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.measure import Units, dim_named, show
from benchbell.recipe.named_sizes import values_text
from benchbell.recipe.prefixes import prefixed
from benchbell.recipe.settled import Settled
from benchbell.recipe.sheet import Choice
from benchbell.recipe.written import ChoiceText


def inputs_of(
    fragment: dict[str, Any], n: int, use: dict[str, Any], text: Settled, prefix: str, findings: FindingList
) -> dict[str, Answer] | None:
    """The answers to a fragment's choices; None, and a finding, when one is wrong.

    fragment: its table. use: row n of the text's uses. prefix: in front of the text's own names.
    """
    rows, given = fragment.get("choice", {}), use.get("set", {})
    answers: dict[str, Answer] = {}
    for name in given:
        if name not in rows:
            what = f"Use {use['as']}: {use['fragment']} has no choice {name}."
            findings.error("unknown-name", ("use", n, "set"), what, use_one_of(name, rows, "in the fragment"))
    for name, row in rows.items():
        try:
            choice = defined(name, msgspec.convert(row, ChoiceText), fragment.get("units", "mm"))
            answers[name] = input_of(choice, given.get(name, choice.value), name in given, text, prefix)
        except DependsOnWrong:
            text.scopes.tell_wrong(findings)
        except Refused as error:
            findings.add_refusal("choice", ("use", n, "set"), f"Use {use['as']}: {name}", error)
    return answers if answers.keys() == rows.keys() and given.keys() <= rows.keys() else None


def input_of(choice: Choice, value: bool | int | str, is_set: bool, text: Settled, prefix: str) -> Answer:
    """One of a fragment's choices, as its use sets it, or with its default.

    Raises Refused when the choice does not allow that, DependsOnWrong when a size that it is set to is wrong itself.
    """
    units: Units = text.head.get("units", "mm")
    if not is_set or choice.kind == "one-of" or not isinstance(value, str):
        plain = ("no", "yes")[value] if isinstance(value, bool) else str(value)
        return answered(choice, plain, units)
    if choice.kind == "yes-no":
        return answered(choice, ("no", "yes")[holds(value, text.answers, text.scopes.known)], units)
    if choice.kind == "count":
        return answered(choice, f"{number_in(value, text.scopes.known):g}", units)
    found = value_of(value, text.scopes.planned)
    if found.dim != dim_named(choice.dim):
        what = f"“{value}” is {with_article(found.dim)}, not {with_article(dim_named(choice.dim))}."
        raise WrongChoice(what, f"Give it {with_article(dim_named(choice.dim))}.")
    try:
        require_within(choice, found, units)
    except WrongChoice as error:
        with_values = values_text(value, text.scopes.planned)
        raise WrongChoice(f"{error.what.removesuffix('.')}{with_values}.", error.next_step) from error
    return Answer(
        msgspec.structs.replace(choice, value=show(found.value, found.dim, units)),
        found,
        prefixed(value, "formula", prefix),
        not is_known(value, text),
    )


def is_known(formula: str, text: Settled) -> bool:
    """Whether a formula depends on nothing that is measured."""
    try:
        value_of(formula, text.scopes.known)
    except Refused:
        return False
    return True

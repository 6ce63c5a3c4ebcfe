"""Choices: what is asked when a build begins, and whether an answer is one that the recipe allows."""

import re
from collections.abc import Mapping
from typing import Any

import msgspec
from msgspec import Struct

from benchbell.findings import Refused, use_one_of
from benchbell.recipe.dimensions import with_article
from benchbell.recipe.finding_list import FindingList, shortened
from benchbell.recipe.measure import NUMBER, Quantity, Units, dim_named, read, show
from benchbell.recipe.sheet import Choice, ChoiceKind
from benchbell.recipe.usual_names import usual
from benchbell.recipe.written import ChoiceText
from benchbell.trade.species import is_wood, near_wood, species, species_named

ANSWERS = {"yes": 1, "true": 1, "no": 0, "false": 0}
NAMED = {"size": "a size", "count": "a count", "yes-no": "a yes or no", "one-of": "one of some texts"}
"""By kind of choice, its name in a sentence."""

TOLERANCE = 1e-6
"""How far a value may be off its step, as a share of the step: inches are no whole millimetres."""


class Answer(Struct, frozen=True):
    """A choice and what was chosen.

    value: in base units, a planned one where it depends on what is measured; 1 for yes and 0 for no; None for a text.
    formula: what it is in the sizes of the recipe that uses a fragment; "" when somebody answered.
    measured: whether it depends on a size that is measured at the bench.
    """

    choice: Choice
    value: Quantity | None
    formula: str = ""
    measured: bool = False


class WrongChoice(Refused):
    """A choice contradicts itself, or an answer is none that it allows."""


def answers_of(
    table: Mapping[str, Any], given: Mapping[str, str], units: Units, findings: FindingList
) -> dict[str, Answer]:
    """By name, every choice of a recipe with its answer. A wrong one gives a finding.

    table: the recipe's `choice` table, in its form. given: the answers that differ from the defaults, as texts.
    """
    answers: dict[str, Answer] = {}
    for name, row in table.items():
        try:
            choice = defined(name, msgspec.convert(row, ChoiceText), units)
            answers[name] = answered(choice, given.get(name, choice.value), units)
        except Refused as error:
            findings.add_refusal("choice", ("choice", name), f"Choice {name}", error)
    for name in given:
        if name not in table:
            what = f"The recipe has no choice {shortened(name)}."
            next_step = use_one_of(name, table) if table else "Leave it out: nothing is asked in this recipe."
            findings.error("unknown-name", ("choice",), what, next_step)
    return answers


def defined(name: str, written: ChoiceText, units: Units) -> Choice:
    """A choice, with its default as its value. Raises Refused when it contradicts itself. units: for the message."""
    kind = kind_of(written)
    bounds = {key: str(value) for key in ("least", "most", "step") if (value := getattr(written, key)) != ""}
    if kind in ("yes-no", "one-of"):
        for key in bounds:
            raise WrongChoice(f"it is {NAMED[kind]}, which has no {key}.", f"Take out {key}.")
        value = ("no", "yes")[written.default] if isinstance(written.default, bool) else str(written.default)
        among = () if kind == "yes-no" else tuple(written.among or dict.fromkeys((*species(), value)))
        return Choice(name, written.ask, kind, value, among=among)
    if written.among:
        raise WrongChoice(f"it is {NAMED[kind]}, which has no among.", 'Take it out, or make the default a "text".')
    require_no_slip_of_a_wood(str(written.default))
    dim = quantity_of(str(written.default), kind, units).dim
    for key, text in bounds.items():
        if (found := quantity_of(text, kind, units).dim) != dim:
            raise WrongChoice(f"{key} is {with_article(found)}, its default {with_article(dim)}.", "Make both alike.")
    if "step" in bounds and read(bounds["step"]).value <= 0:
        raise WrongChoice(f"its step is {bounds['step']}.", "Write one above 0.")
    value, (least, most, step) = str(written.default), (bounds.get(key, "") for key in ("least", "most", "step"))
    return Choice(name, written.ask, kind, value, dim.name, least, most, step)


def kind_of(written: ChoiceText) -> ChoiceKind:
    """A choice's kind, from its default. A wood for a default, and no `among`, stands for any wood of the table."""
    if isinstance(written.default, bool):
        return "yes-no"
    if isinstance(written.default, int):
        return "count"
    return "one-of" if written.among or is_in_table(written.default) else "size"


def is_in_table(text: str) -> bool:
    """Whether a text is a name of one wood, any of its names."""
    return usual(species_named, text) in species()


def answered(choice: Choice, text: str, units: Units) -> Answer:
    """The choice with `text` as its value. Raises Refused when the choice does not allow it. units: for the message."""
    text = text.strip()
    if choice.kind == "one-of":
        if usual(species_named, text) not in {usual(species_named, one) for one in choice.among}:
            where = "in benchbell names wood" if set(species()) <= set(choice.among) else "in the recipe"
            raise WrongChoice(f"“{shortened(text)}” is not one of its answers.", use_one_of(text, choice.among, where))
        return Answer(with_value(choice, text), None)
    if choice.kind == "yes-no":
        if text.lower() not in ANSWERS:
            raise WrongChoice(f"“{shortened(text)}” is neither yes nor no.", "Write yes or no.")
        number = ANSWERS[text.lower()]
        return Answer(with_value(choice, ("no", "yes")[number]), Quantity(number, NUMBER))
    quantity = quantity_of(text, choice.kind, units)
    if quantity.dim != dim_named(choice.dim):
        what = f"“{shortened(text)}” is {with_article(quantity.dim)}, not {with_article(dim_named(choice.dim))}."
        raise WrongChoice(what, f"Write it like {choice.value}.")
    require_within(choice, quantity, units)
    require_on_step(choice, quantity, units)
    return Answer(with_value(choice, text), quantity)


def with_value(choice: Choice, value: str) -> Choice:
    """The choice with this value."""
    return msgspec.structs.replace(choice, value=value)


def require_no_slip_of_a_wood(text: str) -> None:
    """Raises UnknownName when a text has no digits and is nearly the name of a wood, or could be several."""
    if not re.search(r"\d", text) and (near_wood(text) or is_wood(text)):
        species_named(text)


def quantity_of(text: str, kind: ChoiceKind, units: Units) -> Quantity:
    """The quantity in a text. Raises Refused when there is none, a count is not whole, or a size has no unit.

    units: for the message.
    """
    found = read(text)
    if kind == "count" and (found.dim != NUMBER or found.value % 1):
        raise WrongChoice(f"“{shortened(text)}” is not a whole number.", "Write a whole number, such as 2.")
    if kind == "size" and found.dim == NUMBER:
        raise WrongChoice(
            f"“{shortened(text)}” has no unit.", f"Write it with its unit, such as {shortened(text)} {units}."
        )
    return found


def require_within(choice: Choice, quantity: Quantity, units: Units) -> None:
    """Raises WrongChoice when the value is below the choice's least or above its most."""
    shown = show(quantity.value, quantity.dim, units)
    slack = abs(quantity.value) * TOLERANCE
    if choice.least and quantity.value < read(choice.least).value - slack:
        raise WrongChoice(f"{shown} is below {choice.least}, the least.", f"Choose {range_text(choice)}.")
    if choice.most and quantity.value > read(choice.most).value + slack:
        raise WrongChoice(f"{shown} is above {choice.most}, the most.", f"Choose {range_text(choice)}.")


def range_text(choice: Choice) -> str:
    """What a choice allows: "from 14 in to 24 in", "at least 1", "at most 3"."""
    if choice.least and choice.most:
        return f"from {choice.least} to {choice.most}"
    return f"at least {choice.least}" if choice.least else f"at most {choice.most}"


def require_on_step(choice: Choice, quantity: Quantity, units: Units) -> None:
    """Raises WrongChoice when the value is off the choice's steps, counted from its least, or from 0 without one."""
    if not choice.step:
        return
    step, first = read(choice.step).value, read(choice.least).value if choice.least else 0.0
    steps = (quantity.value - first) / step
    if abs(steps - round(steps)) <= TOLERANCE:
        return
    near = [first + step * n for n in (int(steps // 1), int(steps // 1) + 1)]
    allowed = [value for value in near if not choice.most or value <= read(choice.most).value * (1 + TOLERANCE)]
    shown = " or ".join(show(value, quantity.dim, units) for value in allowed)
    what = f"{show(quantity.value, quantity.dim, units)} is not in steps of {choice.step}"
    raise WrongChoice(f"{what}{f' from {choice.least}' if choice.least else ''}.", f"Choose {shown}.")

"""A rule for rabbets and mouldings: they are run on the whole stick, before its ends are mitred."""

import re
from collections.abc import Sequence

from benchbell.recipe.rule_context import RuleContext
from benchbell.recipe.sheet import Operation

START = r"(?:^|[.;:,] |\b(?:and|then) )"
OBJECT = r"(?:\s+(?!(?:at|behind|for|from|in|into|on|to|with)\b)[^\s.;]+)*\s+"
RUNS = r"(?:cut|mill|plane|plough|plow|rout|run|saw|shape|work)"
"""Parts of patterns: where an order begins, what it is done to, and verbs that run a profile along an edge."""

MOULDED = re.compile(
    rf"{START}(?:(?:rabbet|rebate|mould|mold)\b|{RUNS}{OBJECT}(?:rabbet|rebate|moulding|molding)s?\b)",
    re.IGNORECASE,
)
"""Orders that run a rabbet or moulding: “Rabbet the back edges”, “Rout a rabbet for the glass”."""

MITRED = re.compile(
    rf"{START}(?:mit(?:re|er)\b|(?:cut|saw|shoot|trim){OBJECT}mit(?:re|er)s?\b)(?! (?:saw|gauge|fence|box|sled|key))",
    re.IGNORECASE,
)
"""Orders that mitre: “Mitre both ends”, “Saw the mitres”."""


_one_word = r"^(?:(?!(?:across|against|at|behind|for|from|in|into|of|on|over|to|with)\b)\S+\s+)?"

MOULDING_SETUP = re.compile(rf"{_one_word}(?:rabbet|rebate|moulding|molding)s?\b", re.IGNORECASE)
"""Titles of setups that run a rabbet or moulding: “Rabbet for the back”, “Back rabbet”."""

MITRING_SETUP = re.compile(rf"{_one_word}mit(?:re|er)s?\b(?! (?:saw|gauge|fence|box|sled|key|shooting))", re.IGNORECASE)
"""Titles of setups that mitre: “Mitres of the case”, “45° mitres”."""


def moulded_before_mitred(context: RuleContext) -> None:
    """Rule: no rabbet or moulding is run on parts that are mitred already: it breaks out at the points, and a short
    part has no straight end to be held by. Common practice, no source. What is glued up may be rabbeted in place.
    """
    working = [op for op in context.first_piece if op.step == "work" and not op.makes]
    mitring = [op for op in working if mitres(op, context) and not moulds(op, context)]
    parts = {part.id: part.name for part in context.sheet.parts}
    for op in working:
        if not moulds(op, context):
            continue
        before = context.all_before(op)
        mitred = next(
            (one for one in mitring if one.id in before and parts.keys() & set(one.parts) & set(op.parts)), None
        )
        if mitred is not None:
            name = parts[next(id for id in op.parts if id in parts and id in mitred.parts)]
            context.warn(
                "mitred-first",
                op,
                f"runs a rabbet or moulding on {name}, which {mitred.name} has mitred: it breaks out at the points.",
                f"Put it before {mitred.name}, on the whole stick.",
            )


def moulds(op: Operation, context: RuleContext) -> bool:
    """Whether an operation runs a rabbet or moulding, by its title, its steps, or its setup's title."""
    return orders((op.title, *op.do), MOULDED) or orders(setup_title(op, context), MOULDING_SETUP)


def mitres(op: Operation, context: RuleContext) -> bool:
    """Whether an operation mitres, by its title, its steps, or its setup's title."""
    return orders((op.title, *op.do), MITRED) or orders(setup_title(op, context), MITRING_SETUP)


def setup_title(op: Operation, context: RuleContext) -> Sequence[str]:
    """The title of an operation's setup; none where it has no setup."""
    return [setup.title for setup in context.sheet.setups if setup.id == op.setup]


def orders(texts: Sequence[str], words: re.Pattern[str]) -> bool:
    """Whether one of the texts orders such work."""
    return any(words.search(text) for text in texts)

"""A rule for rabbets and mouldings: they are run on the whole stick, before its ends are mitred."""

import re
from collections.abc import Sequence

from benchbell.recipe.rule_context import RuleContext

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


def moulded_before_mitred(context: RuleContext) -> None:
    """Rule: no rabbet or moulding is run on parts that are mitred already: it breaks out at the points, and a short
    part has no straight end to be held by. Common practice, no source. What is glued up may be rabbeted in place.
    """
    working = [op for op in context.first_piece if op.step == "work" and not op.makes]
    mitring = [op for op in working if orders(op.do, MITRED) and not orders(op.do, MOULDED)]
    parts = {part.id: part.name for part in context.sheet.parts}
    for op in working:
        if not orders(op.do, MOULDED):
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


def orders(texts: Sequence[str], words: re.Pattern[str]) -> bool:
    """Whether one of the texts orders such work."""
    return any(words.search(text) for text in texts)

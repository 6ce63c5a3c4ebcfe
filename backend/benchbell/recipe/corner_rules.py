"""Rules about room that two parts share and no joint explains: a corner that both fill, tenons that meet in a leg."""

import re
from collections.abc import Iterator

from benchbell.recipe.holds import all_inside
from benchbell.recipe.lies_rules import length_text
from benchbell.recipe.rabbet_rules import mitres
from benchbell.recipe.rule_context import RuleContext, text_of
from benchbell.recipe.solids.contacts import Contact
from benchbell.recipe.solids.faults import shared_ends
from benchbell.recipe.solids.layout import LaidPart

JOINTED = re.compile(
    r"\b(?:lap|half.lap|halv|halves|notch|bridle|finger|box joint|comb|dovetail|tail|pin|socket|mortise|mortice|tenon"
    r"|rabbet|rebate|groove|tongue|housing|house|dado|cope|scribe|slot|joint|cross|let in|interlock)",
    re.IGNORECASE,
)
"""Words of an operation that makes a joint in which two ends may share their room."""

LAPPED = re.compile(
    r"\b(?:half.lap|lap joint|lapped|halv|bridle|finger.joint|box joint|comb joint|dovetail)", re.IGNORECASE
)
"""Words of a joint in which two ends share all their room, though they may be mitred on one face."""

TENONS_MEET = re.compile(
    r"\bmit(?:re|er)|\bmeet|\blap|\bhalv|\bhalf|\bnotch|\binterlock|\bshorten|\bpast each other|\bone over the other",
    re.IGNORECASE,
)
"""Words of an operation that tells what tenons do which meet in a leg. Common practice, no source: they are mitred, one
is notched for the other, or one is shorter."""


def corners_are_cut(context: RuleContext) -> None:
    """Rule: two parts do not both fill one corner with their whole section, unless a joint is told. Of equal pairs only
    the first.
    """
    mitred = {id for op in context.first_piece if mitres(op, context) for id in op.parts}
    names = {id.rpartition("/")[2] for id in mitred}
    found = [
        *unsaid(context, JOINTED),
        *(each for each in unsaid(context, LAPPED) if {each[1].name, each[2].name} <= names),
    ]
    for one, a, b in found:
        if shared_ends(context.laid, one):
            what = (
                f"{a.name} and {b.name} both fill their corner: they share {sizes(one, context)}, and no joint is told."
            )
            next_step = f"Mitre both with off, shorten {a.part} or {b.part}, or say how they are jointed."
            context.warn_part("runs-through", b.part, what, next_step)


def tenons_miss_each_other(context: RuleContext) -> None:
    """Rule: two tenons do not run into each other, unless it is told how they meet. Of equal pairs only the first."""
    for one, a, b in unsaid(context, TENONS_MEET):
        if any(room.one.tenon and room.other.tenon for room in one.rooms):
            what = f"The tenons of {a.name} and {b.name} run into each other: they share {sizes(one, context)}."
            next_step = "Shorten one, set one higher, or say in a step that they are mitred or notched."
            context.warn_part("runs-through", b.part, what, next_step)


def unsaid(context: RuleContext, words: re.Pattern[str]) -> Iterator[tuple[Contact, LaidPart, LaidPart]]:
    """Two parts that share room, of equal pairs the first, where no operation on either of them has such words."""
    said = {
        id.rpartition("/")[2]
        for op in context.first_piece
        if words.search(text_of(op))
        for id in all_inside(op.parts, context.contents)
    }
    stuck = {frozenset((one.a, one.b)) for one in context.stuck}
    found: set[frozenset[str]] = set()
    for one in context.contacts:
        a, b = context.laid[one.a], context.laid[one.b]
        kinds = frozenset((a.part, b.part))
        if one.rooms and not {a.name, b.name} & said and not {frozenset((one.a, one.b))} & stuck and kinds not in found:
            found.add(kinds)
            yield one, a, b


def sizes(one: Contact, context: RuleContext) -> str:
    """The room that two parts share, in words."""
    return " × ".join(length_text(high - low, context) for low, high in zip(one.low, one.high, strict=True))

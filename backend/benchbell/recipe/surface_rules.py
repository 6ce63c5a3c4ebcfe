"""Rules about the surface under glue and finish: bare, wiped, and cured."""

import re
from collections.abc import Iterable

from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused
from benchbell.recipe.clamp_rules import parts_in
from benchbell.recipe.holds import all_inside
from benchbell.recipe.rule_context import RuleContext, time_text
from benchbell.recipe.sheet import Operation
from benchbell.trade.finish import finish_named
from benchbell.trade.species import species_named

KEPT_BARE = re.compile(r"\btap(?:e|ed|ing)\b|\bmask|\bkeep (?:it )?off\b|\bbare\b", re.IGNORECASE)
"""Words of a coat that keeps its joints free of finish."""

WIPED = re.compile(r"\bacetone\b|\bsolvent\b|\balcohol\b|\b(?:white|methylated|mineral) spirits?\b", re.IGNORECASE)
"""Words of an operation that wipes oily wood with solvent before glue."""


def bare_under_glue(context: RuleContext) -> None:
    """Rule: nothing is glued on wood that was oiled, unless the coat kept off the joints or the part stays loose."""
    for op in context.first_piece:
        if op.step != "glue-up" or context.written(op).across == "room to move":
            continue
        oiled = [coat for coat in coats_before(op, context) if base(coat) == "oil" and not is_kept_bare(coat)]
        for coat in oiled[:1]:
            context.warn(
                "glue-on-oil",
                op,
                f"glues what {coat.name} has oiled: glue does not hold on {coat.finish}.",
                "Glue first, or tape over the joints in that coat and say so there.",
            )


def coats_before(op: Operation, context: RuleContext) -> list[Operation]:
    """The coats that come before an operation on any part of it, last first."""
    touched = all_inside(op.parts, context.contents).keys()
    earlier = context.all_before(op)
    return [
        one
        for one in reversed(context.first_piece)
        if one.step == "coat" and one.id in earlier and touched & all_inside(one.parts, context.contents).keys()
    ]


def base(coat: Operation) -> str:
    """What the finish of a coat is made with: oil, water or spirit."""
    return finish_named(coat.finish).base


def is_kept_bare(coat: Operation) -> bool:
    """Whether a coat says that it keeps off the joints."""
    return any(KEPT_BARE.search(text) for text in (*coat.do, *coat.needs))


def wiped_before_glue(context: RuleContext) -> None:
    """Rule: oily wood is wiped with solvent before it is glued, in the glue-up or in what comes just before it."""
    by_id = {op.id: op for op in context.sheet.operations}
    for op in context.first_piece:
        oily = next((part for part in parts_in(op, context) if is_oily(part.stock)), None)
        if op.step != "glue-up" or oily is None:
            continue
        if not says_wiped((op, *(by_id[id] for id in op.after))):
            context.warn(
                "oily-wood",
                op,
                f"glues {oily.stock}, whose oil keeps glue from holding, and nothing wipes it first.",
                "Say so in a step: wipe the joints with acetone or alcohol, gloves on, no flame, and glue at once.",
            )


def is_oily(stock: str) -> bool:
    """Whether a stock is a wood that its own oil makes hard to glue."""
    try:
        return species_named(stock).oily
    except Refused:
        return False


def says_wiped(ops: Iterable[Operation]) -> bool:
    """Whether one of the operations says that it wipes the wood."""
    return any(WIPED.search(text) for op in ops for text in op.do)


def cured_under_water(context: RuleContext) -> None:
    """Rule: a waterborne finish goes over an oil only when that is cured, or over shellac between the two."""
    for op in context.first_piece:
        under = coats_before(op, context)
        if op.step != "coat" or base(op) != "water" or not under or base(under[0]) != "oil":
            continue
        needed, waited = finish_named(under[0].finish).cure_minutes, longest_wait(under[0], op, context)
        if waited < needed:
            context.warn(
                "water-over-oil",
                op,
                f"puts {op.finish} over {under[0].finish} after {time_text(waited)}; it does not hold on it "
                f"before that is cured, after {time_text(needed)}.",
                f'Write recoat = "{needed / 1440:g} d" in {under[0].name}, or put shellac between the two.',
            )


def longest_wait(coat: Operation, op: Operation, context: RuleContext) -> float:
    """The longest wait in minutes from a coat on, before an operation: the coat's own, or one of what is in between."""
    between = context.all_before(op)
    waits = [
        clock.least_ms or 0
        for one in context.first_piece
        if one.id == coat.id or (one.id in between and coat.id in context.all_before(one))
        for clock in one.clocks
        if clock.kind in ("recoat", "rest")
    ]
    return max(waits, default=0) / MINUTE_MS

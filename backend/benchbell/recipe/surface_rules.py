"""Rules about the surface under glue and finish: bare, wiped, and cured."""

import re
from collections.abc import Iterable, Sequence
from itertools import product, takewhile

from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused
from benchbell.recipe.clamp_rules import parts_in
from benchbell.recipe.coats import overlap
from benchbell.recipe.holds import all_inside
from benchbell.recipe.rule_context import RuleContext, time_text
from benchbell.recipe.sheet import Operation
from benchbell.trade.finish import finish_named
from benchbell.trade.finish_layers import FILM_OVER_WAX, OIL_OVER_FILM, layering, soaks_in
from benchbell.trade.species import species_named

KEPT_BARE = re.compile(r"\btap(?:e|ed|ing)\b|\bmask|\bkeep (?:it )?off\b|\bbare\b", re.IGNORECASE)
"""Words of a coat that keeps its joints free of finish."""

WIPED = re.compile(r"\bacetone\b|\bsolvent\b|\balcohol\b|\b(?:white|methylated|mineral) spirits?\b", re.IGNORECASE)
"""Words of an operation that wipes oily wood with solvent before glue."""


def bare_under_glue(context: RuleContext) -> None:
    """Rule: nothing is glued on finished wood, unless the coats kept off the joints or the part stays loose."""
    for op in context.first_piece:
        if op.step != "glue-up" or context.written(op).across == "room to move":
            continue
        for coat in [coat for coat in coats_before(op, context) if not is_kept_bare(coat)][:1]:
            next_step = "Glue first, or tape over the joints in that coat and say so there."
            if base(coat) == "oil":
                what = f"glues what {coat.name} has oiled: glue does not hold on {coat.finish}."
                context.warn("glue-on-oil", op, what, next_step)
            else:
                what = f"glues what {coat.name} has coated: glue holds on the {coat.finish}, and not on the wood."
                context.warn("glue-on-finish", op, what, next_step)


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


def coats_agree(context: RuleContext) -> None:
    """Rule: a finish goes only over one on which it holds and dries, cured where it must be."""
    for op in context.first_piece:
        under = [coat for coat in coats_before(op, context) if on_each_other(coat, op, context)]
        if op.step != "coat" or not under:
            continue
        below, needed = under[0], finish_named(under[0].finish).cure_minutes
        found = layering(finish_named(op.finish), finish_named(below.finish), films_under(under, op, context))
        waited = longest_wait(below, op, context)
        if found is None or (found.until_cured and waited >= needed):
            continue
        what, is_water = f"puts {op.finish} over {below.finish}", base(op) == "water"
        if found is FILM_OVER_WAX:
            next_step = "Take one of the two, or put shellac between the two."
            context.warn_coat("film-over-wax", op, f"{what}, but {found.why}.", next_step)
            continue
        if found is OIL_OVER_FILM:
            next_step = "Take one of the two, or sand the film off first; no more than two coats of shellac may stay."
            context.warn_coat("oil-over-film", op, f"{what}, but {found.why}.", next_step)
            continue
        what += f" after {time_text(waited)}; {found.why}, after {time_text(needed)}."
        where = below.name if context.written(below) is not context.written(op) else f"the table of {below.finish}"
        next_step = f'Write recoat = "{needed / 1440:g} d" in {where}, or put shellac between the two.'
        context.warn_coat("water-over-oil" if is_water else "lacquer-over-oil", op, what, next_step)


def films_under(under: Sequence[Operation], op: Operation, context: RuleContext) -> int:
    """How many coats that make a film lie directly under a coat, on the part and face where they are most.

    under: the coats that come before it on its parts and faces, last first.
    """
    faces = {face for coat in (*under, op) if (face := context.coat_of(coat).face)} or {""}
    parts = all_inside(op.parts, context.contents)
    most = 0
    for part, face in product(parts, faces):
        here = (
            finish_named(coat.finish)
            for coat in under
            if part in all_inside(coat.parts, context.contents) and overlap(context.coat_of(coat).face, face)
        )
        most = max(most, sum(1 for _ in takewhile(lambda finish: not soaks_in(finish), here)))
    return most


def on_each_other(coat: Operation, other: Operation, context: RuleContext) -> bool:
    """Whether two coats lie on the same face, as far as they say which; true for what is no coat."""
    if other.step != "coat":
        return True
    return overlap(context.coat_of(coat).face, context.coat_of(other).face)


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

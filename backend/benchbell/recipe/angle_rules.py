"""The rule about slopes and leans: a slope is from the horizontal, a lean from the vertical; few things lie so flat."""

import re
from collections.abc import Iterator

from benchbell.findings import Refused
from benchbell.recipe.finding_list import Slip
from benchbell.recipe.formula import compile_formula, evaluate
from benchbell.recipe.measure import ANGLE, show
from benchbell.recipe.rule_context import RuleContext
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.trade_functions import ANGLES

HALF = 45
"""Degrees from the vertical beyond which a side or a leg is asked about. Common practice, no source."""

CALL = re.compile(rf"\b({'|'.join(ANGLES)})\s*\(([^()]*)\)")
"""A call of an angle function whose arguments have no brackets of their own."""


def leans_look_right(context: RuleContext) -> None:
    """Rule: no side or leg lies flatter than half way, which looks like a slope written as a lean or the reverse.

    The same angle is told once, with everything that is reckoned from it.
    """
    for path, about, text in formulas(context):
        for function, argument, degrees in angles_in(text, context):
            slope = argument == "slope"
            if not (0 < degrees < HALF if slope else abs(degrees) > HALF):
                continue
            of, line = ("slope", "horizontal") if slope else ("lean", "vertical")
            upright = "90 deg" if slope else "0 deg"
            is_now, instead = (show(value, ANGLE, "mm") for value in (degrees, 90 - abs(degrees)))
            context.findings.warn(
                "slope-or-lean",
                path,
                f"{about}: {function} takes a {of} from the {line}, {upright} upright, and has {is_now}.",
                f"Write {instead} if it was measured from the other line.",
                slip=Slip(f"{of} {is_now}", (about[0].lower() + about[1:],)),
            )


def angles_in(text: str, context: RuleContext) -> Iterator[tuple[str, str, float]]:
    """Each angle given to an angle function in a formula: the function, the argument's name, planned degrees."""
    for call in CALL.finditer(text):
        kinds = ANGLES[call[1]][0]
        for (argument, kind), written in zip(kinds.items(), call[2].split(","), strict=False):
            if kind == ANGLE and (degrees := planned(written, context)) is not None:
                yield call[1], argument, degrees


def planned(formula: str, context: RuleContext) -> float | None:
    """The planned value of a formula; None when it cannot be evaluated, which other rules have said."""
    try:
        compiled = compile_formula(formula.strip(), context.scope.dims, context.scope.functions)
        return evaluate(compiled.postfix, context.scope.plan)
    except Refused:
        return None


def formulas(context: RuleContext) -> Iterator[tuple[Path, str, str]]:
    """Each formula of sizes, parts and setups, with its place in the file and what it is about."""
    for name, size in context.recipe.size.items():
        yield ("size", name), f"Size {name}", size if isinstance(size, str) else size.plan
    for row, part in enumerate(context.recipe.part):
        yield from ((("part", row, "size"), f"Part {part.id}", text) for text in part.size)
    for row, setup in enumerate(context.recipe.setup):
        yield from ((("setup", row, "set", name), f"Setup {setup.id}", text) for name, text in setup.set.items())

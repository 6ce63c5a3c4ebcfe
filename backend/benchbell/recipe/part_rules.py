"""Rules for parts, setups and sizes: woods known, setups proved, nothing unused."""

from collections.abc import Iterator
from difflib import get_close_matches

from benchbell.findings import Refused, did_you_mean
from benchbell.recipe.coats import tables_of
from benchbell.recipe.glue_text import GlueText
from benchbell.recipe.holds import is_machine
from benchbell.recipe.named_sizes import names_used
from benchbell.recipe.pieces import copy_names
from benchbell.recipe.placing_words import lies_formulas
from benchbell.recipe.rule_context import RuleContext, short_id
from benchbell.recipe.written import OperationText, SizeText
from benchbell.trade.species import is_wood, near_wood, species_named

SHEET_GOODS = (
    "plywood",
    "blockboard",
    "particleboard",
    "chipboard",
    "fibreboard",
    "fiberboard",
    "hardboard",
    "melamine",
)
"""Words of sheet goods in which a slip is noticed."""


def woods_known(context: RuleContext) -> None:
    """Rule: no stock is misspelt, and no wood's name stands for several.

    What is near no wood's name is some other stock, and says nothing.
    """
    for row, part in enumerate(context.recipe.part):
        if part.material == "sheet" and (near := near_sheet(part.stock)):
            what = f"Part {part.id} is of {part.stock}, which the cutting list will say."
            context.findings.warn("unknown-wood", ("part", row), what, did_you_mean([near]))
        if part.material not in ("solid", "veneer"):
            continue
        if near := near_wood(part.stock):
            what = f"Part {part.id} is of {part.stock}, a wood of which no figures are known."
            context.findings.warn("unknown-wood", ("part", row), what, did_you_mean([near]))
        elif is_wood(part.stock) and (error := not_one_wood(part.stock)):
            what = f"Part {part.id}: {error.what.removesuffix('.')}, so that its movement and weight are not known."
            context.findings.warn("unknown-wood", ("part", row), what, error.next_step)


def not_one_wood(stock: str) -> Refused | None:
    """Why a stock is no single wood of the table; None when it is one."""
    try:
        species_named(stock)
    except Refused as error:
        return error
    return None


def near_sheet(stock: str) -> str:
    """A stock with its misspelt word of sheet goods mended: "birch plywood"; "" when there is none."""
    for word in stock.split():
        near = get_close_matches(word.casefold(), SHEET_GOODS, n=1, cutoff=0.85)
        if near and word.casefold() not in (*SHEET_GOODS, f"{near[0]}s"):
            return stock.replace(word, near[0])
    return ""


def setup_proved(context: RuleContext) -> None:
    """Rule: every setup is used, and a machine's setup has a proof cut."""
    used = {op.setup for op in context.sheet.operations}
    known = {setup.id for setup in context.sheet.setups}
    for row, written in enumerate(context.recipe.setup):
        if written.id not in known:
            continue  # a fragment's, equal to an earlier one
        if written.id not in used:
            what = f"Setup {written.id} is used by no operation."
            context.findings.warn("unused", ("setup", row), what, "Name it in an operation, or take it out.")
        elif not written.prove and is_machine(written.station):
            what = f"Setup {written.id} at the {written.station} has no proof cut."
            next_step = 'Add prove = "…": what to cut in scrap and how to judge it.'
            context.findings.warn("no-proof", ("setup", row), what, next_step)


def nothing_unused(context: RuleContext) -> None:
    """Rule: every part is worked, every size is used, and every size to be measured is measured."""
    worked = {short_id(id) for op in context.sheet.operations for id in op.parts}
    worked |= {short_id(id) for fixture in context.sheet.fixtures for id in fixture.of}
    for row, part in enumerate(context.recipe.part):
        if not worked.intersection(copy_names(part)):
            what = f"Part {part.id} is worked by no operation."
            context.findings.warn("unused", ("part", row), what, "Name it in an operation's parts, or take it out.")
    measured = {name for op in context.sheet.operations for name in op.measure}
    used = {name for text in formulas(context) for name in names_used(text, context.recipe.size)}
    used |= {name for op in context.sheet.operations for name in op.sizes} | measured
    for name, size in context.recipe.size.items():
        if isinstance(size, SizeText) and name not in measured:
            what = f"Size {name} is to be measured, but no operation measures it."
            context.findings.warn(
                "not-measured", ("size", name), what, f'Add measure = ["{name}"] where it is measured.'
            )
        elif name not in used:
            what = f"Size {name} is used by nothing."
            context.findings.warn("unused", ("size", name), what, "Use it, or take it out.")


def formulas(context: RuleContext) -> Iterator[str]:
    """Every text of the recipe that may use named sizes."""
    recipe = context.recipe
    for size in recipe.size.values():
        yield from (size,) if isinstance(size, str) else (size.plan, size.within, size.least, size.most)
    for part in recipe.part:
        yield from part.size
        yield from lies_formulas(part.lies) if part.lies else ()
    for setup in recipe.setup:
        yield from setup.set.values()
    for op in recipe.operation:
        yield from own_formulas(op)
        yield from glue_formulas(op.glue) if op.glue else ()
        yield from (op.steam.radius, op.steam.thickness) if op.steam else ()


def own_formulas(op: OperationText) -> Iterator[str]:
    """The times and the length that an operation writes, without those of its glue."""
    yield from (op.wait, op.wait_most, op.in_lengths)
    for table in tables_of(op):
        yield from (table.recoat, table.recoat_most, table.turn)


def glue_formulas(glue: GlueText) -> Iterator[str]:
    """The times and the joints' sizes of a glue-up."""
    yield from (glue.spread, glue.close, glue.open, glue.pot, glue.clamp, glue.rest)
    for joint in glue.joints:
        yield from (joint.area, joint.length, joint.depth)

"""A recipe's text and a number of pieces, made into a build sheet with its findings."""

from collections.abc import Sequence

from msgspec.structs import replace

from benchbell.recipe.check import check
from benchbell.recipe.holds import all_holds, contents, last_coats
from benchbell.recipe.materials import items, materials
from benchbell.recipe.mates import with_mates
from benchbell.recipe.named_sizes import named_sizes
from benchbell.recipe.notes import Notes
from benchbell.recipe.operations import Kit, operation_of
from benchbell.recipe.order import in_order
from benchbell.recipe.pieces import MOST_PIECES, all_parts, letters
from benchbell.recipe.read import read
from benchbell.recipe.rule_context import Case
from benchbell.recipe.setups import all_setups
from benchbell.recipe.sheet import Operation, Sheet
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.steps import all_steps, names_of
from benchbell.recipe.trade_functions import trade_functions
from benchbell.recipe.written import Recipe
from benchbell.trade.cautions import cautions
from benchbell.trade.figure_grid import FigureGrid, figure_grid
from benchbell.trade.glue import glue_named

NO_SHOP = ShopProfile()

MOST = 5000
"""Parts, and operations, in a whole build: a phone carries all of them."""


def compile_text(text: str, file: str, pieces: int = 1, shop: ShopProfile = NO_SHOP) -> Sheet:
    """The sheet of a build of so many pieces, 1 to 26.

    What is wrong or worth knowing is in `findings`, errors first by line; with an error in it the sheet is not
    to be built from. file: as findings shall name it.
    """
    recipe, notes = read(text, file)
    check_extent(recipe, pieces, notes)
    sheet = empty_sheet(file) if recipe is None or not notes.sound else compiled(recipe, file, pieces, shop, notes)
    ordered = sorted(notes.findings, key=lambda finding: (finding.grade != "error", finding.line))
    return replace(sheet, findings=tuple(ordered))


def check_extent(recipe: Recipe | None, pieces: int, notes: Notes) -> None:
    """A finding for a build of too many pieces, parts or operations."""
    if not 1 <= pieces <= MOST_PIECES:
        notes.error("pieces", (), f"A build has 1 to {MOST_PIECES} pieces, not {pieces}.", "Start several builds.")
    if recipe is None:
        return
    parts = sum(part.count * (1 if part.once else pieces) for part in recipe.part)
    operations = sum(len(names_of(op)) * (1 if op.once else pieces) for op in recipe.operation)
    for count, things in ((parts, "parts"), (operations, "operations")):
        if count > MOST:
            what = f"The build would have {count:,} {things}, more than {MOST:,}."
            notes.error("too-many", (), what, "Build fewer pieces at a time, or split the recipe.")


def empty_sheet(file: str) -> Sheet:
    """What is left of a recipe that cannot be read."""
    return Sheet(file, "", "", "mm", (), (), (), (), (), (), {}, {}, (), ())


def compiled(recipe: Recipe, file: str, pieces: int, shop: ShopProfile, notes: Notes) -> Sheet:
    """The sheet, as far as it can be made; adds to `notes`."""
    piece_letters = letters(pieces)
    sizes, names = named_sizes(recipe, trade_functions(shop), notes)
    parts, copies = all_parts(recipe, piece_letters, names, notes)
    course = all_steps(recipe, piece_letters, copies, notes)
    steps = in_order(course.steps, notes)
    parts = with_mates(parts, recipe, copies, notes)
    setups = all_setups(recipe, names, notes)
    inside = contents(parts, course.assemblies)
    kit = Kit(recipe, setups, names, {part.id: part for part in parts}, last_coats(steps, inside), shop, notes)
    operations = {step.id: operation_of(step, kit) for step in steps}
    holds = all_holds(steps, operations, inside)
    held = [replace(op, holds=holds[id]) for id, op in operations.items()]
    sheet = Sheet(
        recipe=file,
        title=recipe.title,
        about=recipe.about,
        units=recipe.units,
        pieces=piece_letters,
        sizes=sizes,
        parts=tuple(parts),
        assemblies=tuple(course.assemblies),
        setups=tuple(setups.values()),
        operations=tuple(without_idle_changes(held)),
        cautions={id: cautions()[id].text for op in held for id in op.cautions},
        figures=figures_of(held, shop),
        materials=materials(recipe, parts, [copies.written[part.id][0] for part in parts]),
        hardware=(*items(recipe.hardware, pieces), *items(recipe.consumable, pieces)),
    )
    if notes.sound:
        check(Case(recipe, sheet, shop, names, inside, notes))
    return sheet


def figures_of(operations: Sequence[Operation], shop: ShopProfile) -> dict[str, FigureGrid]:
    """By glue, its figures at every temperature."""
    used = dict.fromkeys(op.glue for op in operations if op.glue and op.clocks)
    return {glue: figure_grid(glue_named(glue, shop.labels.get(glue))) for glue in used}


def without_idle_changes(operations: Sequence[Operation]) -> list[Operation]:
    """The same, where a station that stands right already needs no minutes to be set up.

    Setting a station up without naming a setup leaves it standing in none.
    """
    standing: dict[str, str | None] = {}
    worked = []
    for op in operations:
        if op.setup is not None and standing.get(op.station) == op.setup:
            op = replace(op, minutes=op.minutes - op.setup_minutes, setup_minutes=0)
        elif op.setup is not None or op.setup_minutes:
            standing[op.station] = op.setup
        worked.append(op)
    return worked

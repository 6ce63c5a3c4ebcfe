"""A recipe's text and a number of pieces, made into a build sheet with its findings."""

from msgspec.structs import replace

from benchbell.recipe.check import check
from benchbell.recipe.materials import items, materials
from benchbell.recipe.named import named_sizes
from benchbell.recipe.notes import Notes
from benchbell.recipe.operations import Kit, all_setups, contents, holds_of, operation_of
from benchbell.recipe.order import all_steps, in_order
from benchbell.recipe.pieces import MOST_PIECES, all_parts, letters, with_mates
from benchbell.recipe.read import read
from benchbell.recipe.sheet import Operation, Sheet
from benchbell.recipe.shop import Shop
from benchbell.recipe.trade_functions import trade_functions
from benchbell.recipe.written import Recipe
from benchbell.trade.cautions import cautions
from benchbell.trade.glue import glue_named
from benchbell.trade.grid import figure_grid

NO_SHOP = Shop()


def compile_text(text: str, file: str, pieces: int = 1, shop: Shop = NO_SHOP) -> Sheet:
    """The sheet of a build of so many pieces, 1 to 26.

    What is wrong or worth knowing is in `findings`, errors first by line; with an error in it the sheet is not
    to be built from. file: as findings shall name it.
    """
    recipe, notes = read(text, file)
    if not 1 <= pieces <= MOST_PIECES:
        notes.error("pieces", (), f"A build has 1 to {MOST_PIECES} pieces, not {pieces}.", "Start several builds.")
    sheet = empty_sheet(file) if recipe is None or not notes.sound else compiled(recipe, file, pieces, shop, notes)
    ordered = sorted(notes.findings, key=lambda finding: (finding.grade != "error", finding.line))
    return replace(sheet, findings=tuple(ordered))


def empty_sheet(file: str) -> Sheet:
    """What is left of a recipe that cannot be read."""
    return Sheet(file, "", "", "mm", (), (), (), (), (), (), {}, {}, (), ())


def compiled(recipe: Recipe, file: str, pieces: int, shop: Shop, notes: Notes) -> Sheet:
    """The sheet, as far as it can be made; adds to `notes`."""
    piece_letters = letters(pieces)
    sizes, names = named_sizes(recipe, trade_functions(shop), notes)
    parts, copies = all_parts(recipe, piece_letters, names, notes)
    course = all_steps(recipe, piece_letters, copies, notes)
    steps = in_order(course, notes)
    parts = [with_mates(part, recipe, copies, notes) for part in parts]
    setups = all_setups(recipe, names, notes)
    kit = Kit(
        recipe,
        {setup.id: setup for setup in setups},
        names,
        copies,
        {part.id: part for part in parts},
        contents(parts, course.assemblies),
        shop,
        notes,
    )
    operations = [operation_of(step, steps, kit) for step in steps]
    by_id = {op.id: op for op in operations}
    held = [
        replace(op, holds=holds_of(step, by_id, steps[:n], kit))
        for n, (step, op) in enumerate(zip(steps, operations, strict=True))
    ]
    sheet = Sheet(
        recipe=file,
        title=recipe.title,
        about=recipe.about,
        units=recipe.units,
        pieces=piece_letters,
        sizes=sizes,
        parts=tuple(parts),
        assemblies=tuple(course.assemblies),
        setups=setups,
        operations=tuple(without_idle_changes(held)),
        cautions={id: cautions()[id].text for op in held for id in op.cautions},
        figures={
            op.glue: figure_grid(glue_named(op.glue, shop.labels.get(op.glue))) for op in held if op.clocks and op.glue
        },
        materials=materials(recipe, parts, [copies.written[part.id][0] for part in parts]),
        hardware=(*items(recipe.hardware, pieces), *items(recipe.consumable, pieces)),
    )
    if notes.sound:
        check(recipe, sheet, shop, notes)
    return sheet


def without_idle_changes(operations: list[Operation]) -> list[Operation]:
    """The same, where a station that stands right already needs no minutes to be set up."""
    standing: dict[str, str | None] = {}
    worked = []
    for op in operations:
        if op.setup is not None and standing.get(op.station) == op.setup:
            op = replace(op, minutes=op.minutes - op.setup_minutes, setup_minutes=0)
        if op.setup is not None:
            standing[op.station] = op.setup
        worked.append(op)
    return worked

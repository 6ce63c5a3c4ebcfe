"""The compiler: a recipe's text and a number of pieces become a build sheet with findings."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import get_args

from msgspec.structs import replace

from benchbell.findings import Finding, Grade
from benchbell.recipe.accepted import mark_accepted
from benchbell.recipe.as_built import measure_first
from benchbell.recipe.board_order import boards_of, with_first_cuts, with_marking
from benchbell.recipe.board_rules import check_boards
from benchbell.recipe.check import check
from benchbell.recipe.coats import step_names
from benchbell.recipe.cutting_list import cutting_list
from benchbell.recipe.expansion import Fragments, WrittenOut, written_out
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.fixtures import all_fixtures
from benchbell.recipe.holds import all_holds, contents_of, last_coats, uncovered_coats
from benchbell.recipe.lifting import with_lifting
from benchbell.recipe.materials import items, materials
from benchbell.recipe.mates import with_mates
from benchbell.recipe.named_sizes import FormulaScope, named_sizes
from benchbell.recipe.operations import OperationContext, operation_of
from benchbell.recipe.order import in_order
from benchbell.recipe.piece_variants import AnswersByPiece, choices_by_piece, with_pieces
from benchbell.recipe.pieces import MOST_PIECES, all_parts, copy_names, letters
from benchbell.recipe.placings import all_placings
from benchbell.recipe.pressing import press_needs_of
from benchbell.recipe.read import read
from benchbell.recipe.rule_context import RuleContext
from benchbell.recipe.setups import all_setups, with_equals_shared
from benchbell.recipe.sheet import Operation, Sheet
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.steaming import bends, with_steam
from benchbell.recipe.steps import all_steps
from benchbell.recipe.strips import with_strips
from benchbell.recipe.to_size import all_to_size
from benchbell.recipe.told_once import tell_once
from benchbell.recipe.trade_functions import trade_functions
from benchbell.recipe.unitless import Found, tell_missing_units
from benchbell.recipe.usual_names import with_usual_names
from benchbell.recipe.veneering import all_veneering, dries_slowly
from benchbell.recipe.wood_choices import tell_wood_choices
from benchbell.recipe.written import Recipe
from benchbell.trade.cautions import cautions
from benchbell.trade.figure_grid import FigureGrid, figure_grid
from benchbell.trade.glue import glue_named

NO_SHOP = ShopProfile()
GRADES = get_args(Grade)
NOTHING: Mapping[str, str] = MappingProxyType({})
NO_FRAGMENTS: Fragments = MappingProxyType({})

MOST = 5000
"""The most parts, and the most operations, of a build: a phone holds all of them."""


def compile_text(
    text: str,
    file: str,
    pieces: int = 1,
    shop: ShopProfile = NO_SHOP,
    chosen: Mapping[str, str] = NOTHING,
    fragments: Fragments = NO_FRAGMENTS,
) -> Sheet:
    """The sheet of a build of 1 to 26 pieces.

    Its `findings` have errors first, then warnings, then accepted ones, each by line; with an error among them nothing
    may be built from the sheet. file: the name that findings give the recipe. chosen: answers to the recipe's choices
    where they are not the defaults, by name, such as "width"; for one piece "B.width". fragments: those that it may
    use, by name.
    """
    answers = AnswersByPiece.of(chosen)
    findings = FindingList(file)
    sheet, recipe = compiled(text, pieces, shop, answers.for_all, fragments, findings)
    answers.check_pieces(letters(pieces), findings)
    for group in answers.groups():
        of_group = FindingList(file)
        other, _ = compiled(text, pieces, shop, answers.of_group(group), fragments, of_group)
        findings.found |= {of_pieces(one, group): at for one, at in of_group.found.items() if one not in findings.found}
        if not findings.has_error:
            sheet = with_pieces(sheet, other, group, findings)
    if recipe is not None and not findings.has_error:
        rows = {name: row for row, part in enumerate(recipe.part) for name in copy_names(part)}
        sheet = replace(
            sheet,
            operations=tuple(without_repeated_changes(sheet.operations)),
            materials=materials(recipe, sheet.parts, [rows[part.name] for part in sheet.parts], sheet.cutting_list),
            choices=choices_by_piece(sheet.choices, answers.by_piece),
            cutting_list=with_strips(sheet.cutting_list, {part for board in sheet.boards for part in board.of}),
        )
    ordered = sorted(findings.found, key=lambda finding: (GRADES.index(finding.grade), finding.line))
    return replace(sheet, findings=tuple(ordered))


def of_pieces(finding: Finding, pieces: Sequence[str]) -> Finding:
    """A finding that only these pieces give, since other answers were chosen for them."""
    return replace(finding, what=f"Piece {', '.join(pieces)}: {finding.what}")


def compiled(
    text: str, pieces: int, shop: ShopProfile, given: Mapping[str, str], fragments: Fragments, findings: FindingList
) -> tuple[Sheet, Recipe | None]:
    """The sheet with all setup minutes and without materials and findings, and the recipe; adds to `findings`.

    given: answers for all pieces.
    """
    sheet, recipe = as_written(text, pieces, shop, given, fragments, findings, NOTHING)
    table = read(text, FindingList(findings.file)) if findings.has_error else None

    def tried(units: Mapping[str, str]) -> Found:
        of_trial = FindingList(findings.file)
        as_written(text, pieces, shop, given, fragments, of_trial, units)
        return of_trial.found

    if table is not None:
        tell_wood_choices(table, given, findings)
        tell_missing_units(table, findings, tried)
    return sheet, recipe


def as_written(
    text: str,
    pieces: int,
    shop: ShopProfile,
    given: Mapping[str, str],
    fragments: Fragments,
    findings: FindingList,
    units: Mapping[str, str],
) -> tuple[Sheet, Recipe | None]:
    """The same, with every finding that a missing unit brings. units: those that sizes without one are tried with."""
    whole = written_out(text, findings, trade_functions(shop), given, fragments, units)
    check_extent(whole.recipe if whole else None, pieces, findings)
    if whole is None or findings.has_error:
        return empty_sheet(findings.file), None
    whole = replace(whole, recipe=with_usual_names(whole.recipe))
    return compile_recipe(whole, pieces, shop, findings), whole.recipe


def check_extent(recipe: Recipe | None, pieces: int, findings: FindingList) -> None:
    """Add a finding when the build has too many pieces, parts or operations."""
    if not 1 <= pieces <= MOST_PIECES:
        findings.error("pieces", (), f"A build has 1 to {MOST_PIECES} pieces, not {pieces}.", "Start several builds.")
    if recipe is None:
        return
    parts = sum(part.count * (1 if part.once else pieces) for part in recipe.part)
    operations = sum(len(step_names(op)) * (1 if op.once else pieces) for op in recipe.operation)
    for count, things in ((parts, "parts"), (operations, "operations")):
        if count > MOST:
            what = f"The build would have {count:,} {things}, more than {MOST:,}."
            findings.error("too-many", (), what, "Build fewer pieces at a time, or split the recipe.")


def empty_sheet(file: str) -> Sheet:
    """The sheet of a recipe that cannot be read: nothing but its name."""
    return Sheet(file, "", "", "mm", (), (), (), (), (), (), {}, {}, (), ())


def compile_recipe(whole: WrittenOut, pieces: int, shop: ShopProfile, findings: FindingList) -> Sheet:
    """The sheet of a recipe, as far as it can be made; adds to `findings`."""
    recipe, piece_letters = whole.recipe, letters(pieces)
    scope = FormulaScope(trade_functions(shop), recipe.units)
    sizes = named_sizes(recipe.size, scope, findings)
    layout = all_placings(recipe, scope, findings)
    parts, index = all_parts(recipe, piece_letters, scope, findings)
    written_setups = all_setups(recipe, scope, findings)
    builder = all_steps(recipe, piece_letters, index, findings)
    measure_first(builder.steps, recipe, sizes, parts, tuple(written_setups.values()), findings)
    steps = in_order(builder.steps, findings)
    parts = with_mates(parts, recipe, index, findings)
    setups = with_equals_shared(written_setups, sizes, whole.from_fragments)
    fixtures = all_fixtures(recipe, index, builder, findings)
    contents = contents_of(parts, builder.assemblies)
    by_part = {part.id: part for part in parts}
    last, uncovered = last_coats(steps, contents), uncovered_coats(steps, contents)
    context = OperationContext(recipe, setups, fixtures, scope, by_part, last, uncovered, shop, findings)
    by_id = {step.id: operation_of(step, context) for step in steps}
    laid = all_veneering(by_id, contents, by_part)
    holds = all_holds(steps, by_id, contents, {id for id in laid if dries_slowly(by_id[id].glue)})
    rows = cutting_list(recipe, parts, index, sizes, scope, findings, layout.placings)
    to_size = all_to_size(steps, by_id, recipe, parts, index, written_setups, sizes, rows)
    pressing = {step.id: press_needs_of(step, laid[step.id], context) for step in steps if step.id in laid}
    operations = [
        replace(op, holds=holds[id], to_size=to_size.get(id, ()), needs=(*op.needs, *pressing.get(id, ())))
        for id, op in by_id.items()
    ]
    in_lengths = {step.id for step in steps if recipe.operation[step.row].in_lengths}
    boards = () if findings.has_error else boards_of(recipe, parts, index, rows)
    boards = with_first_cuts(boards, operations, in_lengths, parts)
    check_boards(recipe, boards, parts, index, findings)
    steams = {step.id for step in steps if recipe.operation[step.row].steam}
    operations = with_lifting(with_steam(operations, bends(operations, steams, contents)), parts, contents)
    sheet = Sheet(
        recipe=findings.file,
        title=recipe.title,
        about=recipe.about,
        units=recipe.units,
        pieces=piece_letters,
        sizes=sizes,
        parts=tuple(parts),
        assemblies=tuple(builder.assemblies),
        setups=tuple({setup.id: setup for setup in setups.values()}.values()),
        operations=tuple(with_marking(operations, boards, parts)),
        cautions={id: cautions()[id].text for op in operations for id in op.cautions},
        figures=figures_of(operations, shop),
        materials=(),
        cutting_list=rows,
        fixtures=fixtures.all(),
        hardware=(*items(recipe.hardware, pieces), *items(recipe.consumable, pieces)),
        placings=tuple(layout.placings),
        hangs=recipe.hangs,
        choices=whole.choices,
        boards=boards,
    )
    if not findings.has_error:
        check(RuleContext(recipe, sheet, shop, scope, contents, findings, layout.laid))
    mark_accepted(whole, shop, findings)
    tell_once(findings)
    return sheet


def figures_of(operations: Sequence[Operation], shop: ShopProfile) -> dict[str, FigureGrid]:
    """The figure grid of each glue that has clocks, by its id."""
    used = dict.fromkeys(op.glue for op in operations if op.glue and op.clocks)
    return {glue: figure_grid(glue_named(glue, shop.labels.get(glue))) for glue in used}


def without_repeated_changes(operations: Sequence[Operation]) -> list[Operation]:
    """The operations, with no setup minutes where the station has the right setup from an earlier operation.

    An operation with setup minutes and no named setup leaves its station in no known setup.
    """
    setup_by_station: dict[str, str | None] = {}
    changed = []
    for op in operations:
        if op.setup is not None and setup_by_station.get(op.station) == op.setup:
            op = replace(op, minutes=op.minutes - op.setup_minutes, setup_minutes=0)
        elif op.setup is not None or op.setup_minutes:
            setup_by_station[op.station] = op.setup
        changed.append(op)
    return changed

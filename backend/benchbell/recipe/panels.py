"""Panels: boards glued edge to edge out of copies of one part, and how wide such a panel or a part is."""

from msgspec import Struct

from benchbell.recipe.clamping import joints_of
from benchbell.recipe.holds import are_copies
from benchbell.recipe.rule_context import RuleContext
from benchbell.recipe.sheet import Operation


class Board(Struct, frozen=True):
    """Solid wood whose grain runs one way: a part, or a panel of several. Sizes as planned, in mm.

    name: of the part or assembly. width_mm: across the grain; of a panel, of all its boards together.
    """

    name: str
    stock: str
    length_mm: float
    width_mm: float
    thickness_mm: float


def makes_panel(op: Operation, context: RuleContext) -> bool:
    """Whether a glue-up joins copies of one part by nothing but glue lines that clamps close."""
    glue = context.written(op).glue
    return glue is not None and are_copies(op.parts) and bool(glue.joints) and all(one.length for one in glue.joints)


def board_of(id: str, context: RuleContext) -> Board | None:
    """A solid part, or a panel glued up of solid parts, as one board; None for anything else."""
    for part in context.sheet.parts:
        if part.id == id:
            return Board(part.name, part.stock, *part.plan_mm) if part.material == "solid" else None
    made = next((one for one in context.sheet.assemblies if one.id == id), None)
    by = next((op for op in context.sheet.operations if made and op.id == made.by), None)
    if made is None or by is None or not makes_panel(by, context):
        return None
    boards = [board for one in made.of if (board := board_of(one, context))]
    if not boards:
        return None
    first = boards[0]
    if is_stack(by, first, context):
        thickness = sum(board.thickness_mm for board in boards)
        return Board(made.name, first.stock, first.length_mm, first.width_mm, thickness)
    width = sum(board.width_mm for board in boards)
    return Board(made.name, first.stock, first.length_mm, width, first.thickness_mm)


def is_stack(by: Operation, board: Board, context: RuleContext) -> bool:
    """Whether boards are glued face to face, as in a lamination: their glue lines are as wide as the boards."""
    joints = joints_of(context.written(by), context.rows[by.name], context.scope, context.findings)
    lines = [joint.area_mm2 / joint.length_mm for joint in joints if joint.length_mm]
    return bool(lines) and abs(min(lines) - board.width_mm) < abs(min(lines) - board.thickness_mm)

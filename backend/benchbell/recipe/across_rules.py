"""Rules about solid wood that an operation holds across its grain: it says how, and leaves it room to move."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from benchbell.recipe.clamp_rules import parts_in
from benchbell.recipe.lies_rules import first_parts, length_text
from benchbell.recipe.put_in import fitting_contacts
from benchbell.recipe.rule_context import RuleContext
from benchbell.recipe.sheet import Operation, Part
from benchbell.recipe.solids.contacts import Contact
from benchbell.recipe.wood_rules import movement_text

WIDE_MM = 80
"""Wood held fast over more than this across its grain moves enough to split. Common practice, no source."""

TENON_MM = 150
"""A tenon up to this wide is glued whole. Common practice, no source: 125 to 150 mm."""

TENON_STEP = 'Glue only the upper half of the tenon, or split it in two, and write across = "room to move".'
ROOM_STEP = "Give it room to move: slots, buttons, a panel loose in its groove (slot, panel_gap)."


class Held(Struct, frozen=True):
    """A board held across its grain: by its number, that of what holds it, over how much, and whether by a tenon."""

    board: int
    by: int
    width_mm: float
    tenon: bool


def moving_wood_is_told(context: RuleContext) -> None:
    """Rule: an operation that holds wide solid wood across its grain says how. Of equal pairs only the first."""
    joints = fitting_contacts(context)
    for op in context.first_piece:
        if context.written(op).across or not (op.makes or op.glue):
            continue
        held = next(held_across(solid_members(op, context), joints, context), None)
        if held:
            board, by = (context.laid[number].name for number in (held.board, held.by))
            wide = length_text(held.width_mm, context)
            what = f"holds {board} to {by} over {wide} across the grain, and does not say how."
            next_step = TENON_STEP if held.tenon else 'Add across = "room to move", or across = "fixed".'
            context.warn("across-grain", op, what, next_step)


def room_to_move(context: RuleContext) -> None:
    """Rule: solid wood is not held fast across its grain.

    Where all of it is drawn, what the operation itself holds counts; else the widest of its parts.
    """
    joints = fitting_contacts(context)
    for op in context.first_piece:
        solid = [part for part in parts_in(op, context) if part.material == "solid"]
        if context.written(op).across != "fixed" or not solid:
            continue
        members = solid_members(op, context)
        if sum(map(len, members)) == len(solid) and len(members) > 1:
            for held in [*held_across(members, joints, context)][:1]:
                tell_held(op, held, context)
        else:
            widest = max(solid, key=lambda part: part.plan_mm[1])
            tell_fast(op, widest, widest.plan_mm[1], ROOM_STEP, context)


def tell_held(op: Operation, held: Held, context: RuleContext) -> None:
    """Warn of a board that an operation holds fast."""
    name = context.laid[held.board].name
    part = next(part for part in first_parts(context) if part.name == name)
    width = held.width_mm if held.tenon else max(held.width_mm, part.plan_mm[1])
    tell_fast(op, part, width, TENON_STEP if held.tenon else ROOM_STEP, context)


def tell_fast(op: Operation, part: Part, width_mm: float, next_step: str, context: RuleContext) -> None:
    """Warn that an operation holds a part fast. width_mm: over how much."""
    wide, moves = movement_text(part.stock, width_mm, context)
    alone = f"; {part.name} alone, {wide} wide, moves {moves} over the year" if moves else ""
    what = f"holds solid wood fast across its grain{alone}."
    context.warn("no-room-to-move", op, what, next_step, "across")


def solid_members(op: Operation, context: RuleContext) -> list[list[int]]:
    """The drawn parts of solid wood in each of an operation's members."""
    solid = {context.laid_numbers[part.name] for part in first_parts(context) if part.material == "solid"}
    return [[number for number in context.laid_in(id) if number in solid] for id in op.parts]


def held_across(drawn: Sequence[Sequence[int]], joints: Sequence[Contact], context: RuleContext) -> Iterator[Held]:
    """Boards held too wide across their grain by a part along its own, of other members of an operation.

    Boards of one kind that one member holds edge to edge count as one board. joints: the contacts that may hold one.
    """
    member_of = {part: number for number, member in enumerate(drawn) for part in member}
    spans: dict[tuple[int, int], list[Held]] = {}
    for one in joints:
        tenon = any(room.one.tenon or room.other.tenon for room in one.rooms)
        for board, by in ((one.a, one.b), (one.b, one.a)):
            if board not in member_of or by not in member_of or member_of[board] == member_of[by]:
                continue
            grain = [abs(n) for n in context.laid[by].grain]
            axis = grain.index(max(grain))
            across = abs(context.laid[board].grain[axis]) < max(abs(n) for n in context.laid[board].grain)
            if across:
                kinds = {context.laid[number].part for number in drawn[member_of[board]]}
                key = (member_of[board] if len(kinds) == 1 else -1 - board, by)
                spans.setdefault(key, []).append(Held(board, by, one.high[axis] - one.low[axis], tenon))
    for boards in spans.values():
        width, tenon = sum(one.width_mm for one in boards), all(one.tenon for one in boards)
        if width > (TENON_MM if tenon else WIDE_MM):
            yield Held(boards[0].board, boards[0].by, width, tenon)

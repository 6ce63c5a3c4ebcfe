"""Rules about how solid wood moves and how wide it is: glue across the grain, too wide for a machine."""

from collections.abc import Iterable, Sequence
from itertools import permutations

from benchbell.findings import Refused
from benchbell.recipe.clamping import Joint, joints_of
from benchbell.recipe.measure import LENGTH, show, told_apart
from benchbell.recipe.panels import Board, board_of
from benchbell.recipe.rule_context import RuleContext
from benchbell.recipe.trade_functions import year_of
from benchbell.trade.movement_gaps import change_over
from benchbell.trade.species import species_named
from benchbell.trade.stations import station_named

# Common practice, no source.
WIDE_MM = 200  # from this width on a panel tears at what holds it fast
ALIKE = 0.15  # two lengths that differ by no more than this share count as equal
MOST_OF_THE_FACE = 0.5  # glue on this share of an end's edge holds all of it


def movement_text(stock: str, width_mm: float, context: RuleContext) -> tuple[str, str]:
    """A width, and how far flat-sawn wood of it moves over the shop's year; "" for that when the wood is unknown."""
    wide = show(width_mm, LENGTH, context.sheet.units)
    try:
        change = change_over(species_named(stock), "flat", width_mm, year_of(context.shop))
    except Refused:
        return wide, ""
    return wide, show(change.narrower_mm + change.wider_mm, LENGTH, context.sheet.units)


def glued_across_the_grain(context: RuleContext) -> None:
    """Rule: no end, such as a breadboard end, is glued along its length across a wide panel.

    A glue-up with room to move says that it is glued at one place only.
    """
    for op in context.first_piece:
        written = context.written(op)
        if op.step != "glue-up" or written.across == "room to move":
            continue
        joints = joints_of(written, context.rows[op.name], context.scope, context.findings)
        boards = [board for id in op.parts if (board := board_of(id, context))]
        crossing = [pair for pair in permutations(boards, 2) if crosses(*pair) and holds_all(pair[0], joints)]
        for end, panel in first_of_each(crossing, context):
            wide, moves = movement_text(panel.stock, panel.width_mm, context)
            context.warn(
                "cross-grain-glue",
                op,
                f"glues {end.name} along its length across the grain of {panel.name}, which is {wide} wide"
                f"{moves and f' and moves {moves} over the year'}.",
                'Glue only its middle, let the rest slide on slotted pegs, and write across = "room to move".',
                part=end.name,
            )


def first_of_each(pairs: Sequence[tuple[Board, Board]], context: RuleContext) -> Iterable[tuple[Board, Board]]:
    """Of equal boards, the first pair alone, by the name of its first board."""
    named = {context.ids_of_copies.get(pair[0].name, pair[0].name): pair for pair in reversed(pairs)}
    return reversed(named.values())


def crosses(end: Board, panel: Board) -> bool:
    """Whether an end is as long as a wide panel is wide, so that their grains cross.

    Beside a panel that is nearly square an end lies across its grain when it is nearer to its width than its length.
    """
    off_width, off_length = (abs(end.length_mm - mm) for mm in (panel.width_mm, panel.length_mm))
    return panel.width_mm >= WIDE_MM and alike(end.length_mm, panel.width_mm) and off_width < off_length


def holds_all(end: Board, joints: list[Joint]) -> bool:
    """Whether a joint runs along all of an end, or covers most of its edge."""
    edge = end.length_mm * end.thickness_mm
    return any(
        (joint.length_mm is not None and alike(joint.length_mm, end.length_mm))
        or (joint.length_mm is None and joint.area_mm2 >= MOST_OF_THE_FACE * edge)
        for joint in joints
    )


def alike(one_mm: float, other_mm: float) -> bool:
    """Whether two lengths are about equal."""
    return abs(one_mm - other_mm) <= ALIKE * max(one_mm, other_mm)


def narrow_enough(context: RuleContext) -> None:
    """Rule: nothing is wider than its station takes: the shop's own width, else the usual one."""
    for op in context.first_piece:
        most = context.shop.widths_mm.get(op.station, station_named(op.station).most_width_mm)
        boards = [board for id in op.parts if (board := board_of(id, context))]
        wide = [(board, board) for board in boards if most is not None and board.width_mm > most]
        for board, _ in first_of_each(wide, context):
            width, takes = told_apart(board.width_mm, most or 0, context.sheet.units)
            context.warn(
                "too-wide",
                op,
                f"puts {board.name} through the {op.station}: it is {width} wide, the {op.station} takes {takes}.",
                "Plane it in halves before it is glued up, or by hand; a shop file tells of a wider one in widths_mm.",
                part=board.name,
            )

"""Subjects about the movement of solid wood and the room it needs: movement, slot, panel, drawer."""

import argparse
from math import floor, log10

from benchbell.findings import Refused
from benchbell.reckon.answer import Answer, Command, add_temperature, length, mm
from benchbell.reckon.moisture import coefficient_source
from benchbell.trade.lengths import MM_PER_INCH
from benchbell.trade.movement_gaps import (
    DRAWER_CLEARANCE_MM,
    PANEL_HOLD_MM,
    Year,
    drawer_clearance_mm,
    panel_play,
    slot,
)
from benchbell.trade.species import Species, species_named
from benchbell.trade.wood import emc_percent, is_linear, movement_mm, stretches

MOVEMENT_VALIDITY = "0 to 30 % moisture content; single boards differ from the average by a fifth and more"
# Single boards differ from their species: common practice, no source.
BOARDS_DIFFER = (0.8, 1.2)


def board_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of a board and the air's temperature."""
    parser.add_argument("--species", required=True, help='such as "white oak"')
    parser.add_argument("--cut", choices=("flat", "quarter", "rift"), default="flat", help="how it is sawn")
    add_temperature(parser, "temperature for the humidities", 20.0)


def moisture_arguments(parser: argparse.ArgumentParser, *moments: str) -> None:
    """Add two options for each moment: the air's humidity, or the wood's moisture content."""
    for moment in moments:
        either = parser.add_mutually_exclusive_group(required=True)
        either.add_argument(f"--{moment}-humidity", type=float, help="relative humidity of the air, percent")
        either.add_argument(f"--{moment}-percent", type=float, help="moisture content of the wood, percent")


def moisture(args: argparse.Namespace, moment: str) -> float:
    """The wood's moisture content at that moment in percent. Raises OutsideValidity when the air is out of range."""
    given = vars(args)
    percent: float | None = given[f"{moment}_percent"]
    return emc_percent(args.celsius, given[f"{moment}_humidity"]) if percent is None else percent


def movement_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `movement`."""
    board_arguments(parser)
    parser.add_argument("--width", required=True, help='across the grain, such as "300 mm"')
    moisture_arguments(parser, "from", "to")


def movement(args: argparse.Namespace) -> Answer:
    """How much a board swells or shrinks. Raises Refused when an option cannot be read or is out of range."""
    wood, width = species_named(args.species), length(args.width, "--width")
    was, becomes = moisture(args, "from"), moisture(args, "to")
    moved = movement_mm(wood, args.cut, width, was, becomes)
    less, more = (moved * share for share in BOARDS_DIFFER)
    figures = {
        **{"species": wood.id, "cut": args.cut, "from_percent": was, "to_percent": becomes},
        **{"movement_mm": moved, "least_mm": less, "most_mm": more},
    }
    lines = (
        f"{wood.id}, {args.cut}-sawn, {mm(width)} wide, {was:.1f} to {becomes:.1f} % moisture content:",
        f"{'swells' if moved >= 0 else 'shrinks'} about {two_figures(abs(moved))} mm, "
        f"between {two_figures(abs(less))} and {two_figures(abs(more))} mm "
        f"({inches(moved)}, between {inches(less)} and {inches(more)} in).",
    )
    spans = [is_linear(*stretch) for stretch in stretches(was, becomes)]
    source = f"Wood Handbook, FPL-GTR-190, {EQUATIONS[len(set(spans)) > 1, all(spans)]}"
    source += f"; {coefficient_source(wood, any(spans) or not spans)}"
    return Answer(figures, (*lines, *((wood.note,) if wood.note else ())), source, MOVEMENT_VALIDITY)


EQUATIONS = {
    (False, True): "eq. 13-2",
    (False, False): "eq. 13-3",
    (True, False): "eq. 13-2 from 6 to 14 % and eq. 13-3 beyond, from the width reached there "
    "(how the two are joined: common practice, no source)",
}
"""By whether both equations are used, and whether only eq. 13-2 is."""


def inches(moved_mm: float) -> str:
    """A movement in mm as inches to two significant figures, without its sign."""
    return f"{abs(moved_mm) / MM_PER_INCH:.2g}"


def two_figures(value: float) -> str:
    """A length in mm to two significant figures: boards differ too much for more."""
    if value < 0.05:
        return "0"
    return f"{value:.{max(0, 1 - floor(log10(value)))}f}"


def year_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of a board and its year."""
    board_arguments(parser)
    moisture_arguments(parser, "now", "driest", "dampest")


def year(args: argparse.Namespace) -> Year:
    """The wood's moisture contents now and at the ends of the year.

    Raises Refused when the driest is damper than the dampest, or the air is out of range.
    """
    driest, dampest = moisture(args, "driest"), moisture(args, "dampest")
    if driest > dampest:
        raise Refused(f"The driest, {driest:.1f} %, is damper than the dampest, {dampest:.1f} %.", "Swap the two.")
    return Year(moisture(args, "now"), driest, dampest)


def slot_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `slot`."""
    year_arguments(parser)
    parser.add_argument("--from-fixed", required=True, help="across the grain, from where the board is fixed")
    parser.add_argument("--screw", required=True, help='diameter, such as "4.5 mm"')


def slot_answer(args: argparse.Namespace) -> Answer:
    """A screw slot that lets a solid top move. Raises Refused when an option cannot be read or is out of range."""
    wood = species_named(args.species)
    found = slot(wood, args.cut, length(args.from_fixed, "--from-fixed"), length(args.screw, "--screw"), year(args))
    figures = {"slot_mm": found.length_mm, "away_mm": found.away_mm, "towards_mm": found.towards_mm}
    lines = (
        f"Slot in the part that stays: {mm(found.length_mm)} long across the grain.",
        f"Beside the screw now: {mm(found.away_mm)} away from the fixed point, {mm(found.towards_mm)} towards it.",
        "In a slot in the moving board, swap the two.",
    )
    return Answer(figures, lines, play_source(wood), MOVEMENT_VALIDITY)


def panel_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `panel`."""
    year_arguments(parser)
    parser.add_argument("--width", required=True, help="of the panel, across the grain")


def panel(args: argparse.Namespace) -> Answer:
    """Room for a solid panel in its grooves. Raises Refused when an option cannot be read or is out of range."""
    wood = species_named(args.species)
    play = panel_play(wood, args.cut, length(args.width, "--width"), year(args))
    figures = {
        **{"narrower_mm": play.change.narrower_mm, "wider_mm": play.change.wider_mm},
        **{"gap_each_side_mm": play.gap_mm, "least_groove_mm": play.groove_mm},
    }
    lines = (
        f"Over the year it gets {mm(play.change.narrower_mm)} narrower and {mm(play.change.wider_mm)} wider than now.",
        f"Leave {mm(play.gap_mm)} at the bottom of each groove; make the grooves at least {mm(play.groove_mm)} deep, "
        f"so that {mm(PANEL_HOLD_MM)} stay in when it is at its narrowest.",
    )
    return Answer(figures, lines, play_source(wood), MOVEMENT_VALIDITY)


def drawer_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `drawer`."""
    year_arguments(parser)
    parser.add_argument("--height", required=True, help="of the drawer's sides, across the grain")


def drawer(args: argparse.Namespace) -> Answer:
    """Clearance above a drawer's sides. Raises Refused when an option cannot be read or is out of range."""
    wood = species_named(args.species)
    clearance = drawer_clearance_mm(wood, args.cut, length(args.height, "--height"), year(args))
    lines = (f"Leave {mm(clearance)} above the drawer's sides now, {mm(DRAWER_CLEARANCE_MM)} of it for running.",)
    return Answer({"clearance_mm": clearance}, lines, play_source(wood), MOVEMENT_VALIDITY)


def play_source(wood: Species) -> str:
    """The source of the room that a wood needs to move."""
    return f"Movement by Wood Handbook, FPL-GTR-190, eq. 13-2 or 13-3; {coefficient_source(wood, True)}"


COMMANDS = (
    Command("movement", "how much a board swells or shrinks", movement_arguments, movement),
    Command("slot", "a screw slot that lets a solid top move", slot_arguments, slot_answer),
    Command("panel", "room for a solid panel in its grooves", panel_arguments, panel),
    Command("drawer", "clearance above a solid drawer's sides", drawer_arguments, drawer),
)

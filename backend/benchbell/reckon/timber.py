"""Subjects about buying and carrying timber: board-feet, surfaced, weight."""

import argparse

from benchbell.reckon.answer import Answer, Command, cited, length, mm
from benchbell.trade.lengths import MM_PER_INCH
from benchbell.trade.species import density_kg_per_m3, species_named
from benchbell.trade.timber import (
    board_feet,
    bought_mm,
    cubic_metres,
    hardwood_board_feet,
    lumber_named,
    resawn_mm,
    surface_measure,
)

POUNDS_PER_KG = 2.20462

BOARD_FEET_HOLDS = (
    "nominal sizes, halves rounded up; boards for finished sizes are hardwood surfaced two sides, "
    "5 mm lost in each cut of resawing (common practice, no source)"
)

Sizes = tuple[float, float, float]


def board_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of a board's sizes."""
    for option in ("thickness", "width", "length"):
        parser.add_argument(f"--{option}", required=True, help='such as "1 in"')


def sizes(args: argparse.Namespace) -> Sizes:
    """Thickness, width and length in mm. Raises Refused when an option is not a length."""
    return (
        length(args.thickness, "--thickness"),
        length(args.width, "--width"),
        length(args.length, "--length"),
    )


def board_feet_answer(args: argparse.Namespace) -> Answer:
    """Board feet by both rules, cubic metres, and what a thin part takes of a board that is sold.

    Raises Refused when a size cannot be read or is not above 0.
    """
    board = sizes(args)
    plain, sold, volume = board_feet(*board), hardwood_board_feet(*board), cubic_metres(*board)
    measure = surface_measure(*board[1:])
    bought, resawn = (board_feet(thick(board[0]), *board[1:]) for thick in (bought_mm, resawn_mm))
    figures = {
        **{"board_feet": plain, "hardwood_board_feet": sold, "surface_measure_ft2": measure},
        **{"volume_m3": volume, "bought_board_feet": bought, "resawn_board_feet": resawn},
    }
    lines = (
        f"{plain:.2f} board feet by plain volume, {volume:.4f} m³.",
        f"{sold:.2f} board feet as hardwood is sold: surface measure {measure} × thickness, under 1 in as 1 in.",
        f"{bought:.2f} board feet where these are finished sizes, planed from a board {mm(bought_mm(board[0]))} thick"
        + (f", {resawn:.2f} where it is resawn." if resawn < bought else "."),
    )
    return Answer(figures, lines, "144 in³ a board foot; NHLA measuring rules", BOARD_FEET_HOLDS)


def surfaced_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the argument of `surfaced`."""
    parser.add_argument("size", help='such as "hardwood 4/4", "softwood 5/4" or "2x4"')


def surfaced(args: argparse.Namespace) -> Answer:
    """A nominal size after surfacing, or thickness and width of a stick. Raises UnknownName when there is none."""
    rows = lumber_named(args.size)
    figures: dict[str, float | None] = {}
    lines = []
    for row, which in zip(rows, ("", "width_"), strict=False):
        dry, green = row.dry_in * MM_PER_INCH, row.green_in and row.green_in * MM_PER_INCH
        lines.append(f"{row.id}: {mm(dry)} after surfacing, dry.")
        lines += [f"Green, over 19 % moisture content: {mm(green)}."] if green else []
        figures |= {f"{which}nominal_mm": row.nominal_in * MM_PER_INCH, f"{which}dry_mm": dry}
        figures |= {f"{which}green_mm": green}
    sources = dict.fromkeys(cited(row.source, row.grade) for row in rows)
    return Answer(figures, tuple(lines), "; ".join(sources), "standard surfacing; measure what arrives")


def weight_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `weight`."""
    parser.add_argument("--species", required=True, help='such as "white oak"')
    board_arguments(parser)


def weight(args: argparse.Namespace) -> Answer:
    """The weight of a board. Raises Refused when a size cannot be read or the wood or its density is unknown."""
    wood = species_named(args.species)
    kilograms = density_kg_per_m3(wood) * cubic_metres(*sizes(args))
    line = (
        f"{kilograms:.1f} kg ({kilograms * POUNDS_PER_KG:.1f} lb) of {wood.id}; "
        "single boards differ from the average by a tenth and more."
    )
    source = f"Specific gravity at 12 %: {cited(wood.source, wood.gravity_grade)}"
    return Answer({"weight_kg": kilograms}, (line,), source, "wood at about 12 % moisture content")


COMMANDS = (
    Command("board-feet", "board feet by both rules, and cubic metres", board_arguments, board_feet_answer),
    Command("surfaced", "what is left of a nominal size after surfacing", surfaced_arguments, surfaced),
    Command("weight", "how heavy a board is", weight_arguments, weight),
)
